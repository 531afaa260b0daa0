#!/usr/bin/env bash
# Builds the program for the launcher, in a folder of its own, and puts it into place in one step.
# Two at once: the second waits for the first and then finds nothing to do.
set -u
project=$(cd -P "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd) || exit 2
store=$project/target/launcher
# shellcheck source=src/launcher/tools.sh
. "$project/src/launcher/tools.sh"

mkdir -p "$store" 2>/dev/null && [ -w "$store" ] || {
  say "cannot write to $store, where the build goes; make the project folder writable or copy it to one that is"
  exit 2
}

if command -v flock >/dev/null; then
  exec 9>"$store/lock"
  flock -n 9 || { say "waits for another build"; flock 9; }
else
  # A folder can be made by one process only; a lock whose owner is gone is removed.
  until mkdir "$store/lock.d" 2>/dev/null; do
    owner=$(cat "$store/lock.d/owner" 2>/dev/null)
    if [ -n "$owner" ] && ! kill -0 "$owner" 2>/dev/null; then rm -rf "$store/lock.d"; else sleep 0.3; fi
  done
  echo $$ >"$store/lock.d/owner"
fi

name=build-$$-$(date +%s)
work=$store/work
cleanup() {
  rm -rf "${work:?}" "$store/${name:?}.part"
  [ "$(cat "$store/lock.d/owner" 2>/dev/null)" = $$ ] && rm -rf "$store/lock.d"
}
trap cleanup EXIT
trap 'exit 2' INT TERM HUP

previous=
[ -r "$store/newest" ] && previous=$(<"$store/newest")
if [ -n "$previous" ] && [ -r "$store/$previous/buswitness.jar" ] && [ -x "$(cat "$store/$previous/java" 2>/dev/null)" ] &&
    [ -z "$(find "$project/src/main" "$project/pom.xml" -newer "$store/$previous/started" -print -quit)" ]; then
  exit 0
fi

need_build_tools || exit 2
if [ -n "$previous" ]; then
  say "building, since the sources changed"
else
  say "building, once; this also fetches libraries and can take a minute or two"
fi
rm -rf "$work"
new=$store/$name.part
mkdir -p "$new"
touch "$new/started"    # before the compiler reads: a source changed meanwhile is newer than the build
if ! (cd "$project" && mvn -B -q -Dstyle.color=never -DbuildDirectory="$work" process-classes jar:jar@default-jar shade:shade@default) \
    >"$store/build.log" 2>&1 </dev/null 9>&-; then
  grep -E '^\[ERROR\] .' "$store/build.log" | grep -vE '\[Help [0-9]|full stack trace|Re-run Maven|For more information' |
    head -n 4 | cut -c1-240 >&2
  grep -qE 'Could not transfer|UnknownHost' "$store/build.log" &&
    say "libraries could not be fetched: the first build needs the network"
  say "could not build; the lines above are Maven's (all: $store/build.log)"
  exit 2
fi
mv "$work"/buswitness-*-all.jar "$new/buswitness.jar"
printf '%s\n' "$java_home/bin/java" >"$new/java"
mv "$new" "$store/$name"

# Classes loaded and checked beforehand, those of a real run; without the archive it only starts a little slower.
"$java_home/bin/java" -XX:ArchiveClassesAtExit="$store/$name/buswitness.jsa" -Xlog:disable -XX:+UseSerialGC \
  -XX:TieredStopAtLevel=1 -cp "$store/$name/buswitness.jar" buswitness.cli.Main prove \
  "$project/captures/two-translators.bwl.gz" --html /dev/null --json /dev/null >/dev/null 2>&1 </dev/null 9>&-

printf '%s\n' "$name" >"$store/newest.$$" && mv -f "$store/newest.$$" "$store/newest"

# Older builds go, except the one just replaced: another launch may be about to start it.
for old in "$store"/build-*; do
  case ${old##*/} in "$name"|"${previous:-none}"|build.log) ;; *) rm -rf "$old" ;; esac
done
exit 0
