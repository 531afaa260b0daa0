# Sourced by the launcher's build and by ./verify: finds Java and Maven, installs what is missing where it may.
# Every line goes to standard error. Needs $project.

say() { printf 'buswitness: %s\n' "$*" >&2; }

# Java home of a JDK 17 or newer in $java_home, or fails. The file "release" of a JDK tells its version without a start.
find_jdk() {
  local candidate home version
  for candidate in "${JAVA_HOME:+$JAVA_HOME/bin/javac}" "$(command -v javac 2>/dev/null)" \
      /usr/lib/jvm/*/bin/javac /opt/java/*/bin/javac /Library/Java/JavaVirtualMachines/*/Contents/Home/bin/javac; do
    [ -n "$candidate" ] && [ -x "$candidate" ] || continue
    home=$(cd -P "$(dirname "$(readlink -f "$candidate" 2>/dev/null || echo "$candidate")")/.." && pwd) || continue
    version=$(sed -n 's/^JAVA_VERSION="\([0-9]*\).*/\1/p' "$home/release" 2>/dev/null)
    [ -n "$version" ] || version=$("$home/bin/javac" -version 2>&1 | sed -n 's/^javac \([0-9]*\).*/\1/p')
    if [ "${version:-0}" -ge 17 ]; then
      java_home=$home
      return 0
    fi
  done
  return 1
}

# Prints the words that run a command as root, or fails where that needs a password.
as_root() {
  if [ "$(id -u)" = 0 ]; then echo env; return 0; fi
  command -v sudo >/dev/null && sudo -n true 2>/dev/null && echo "sudo -n"
}

has_package() { apt-cache policy "$1" 2>/dev/null | grep -q '^  Candidate: [0-9]'; }

# install_packages WHAT PACKAGE...: installs on a Debian-like system; a package written a|b means the first there is.
# At a terminal it asks first, without one it says so and does it. Fails with one line that says what to install.
install_packages() {
  local what=$1 root answer wanted choice packages=()
  shift
  if ! command -v apt-get >/dev/null; then
    say "needs $what; install it with your system's package manager and start again"
    return 1
  fi
  if ! root=$(as_root); then
    say "needs $what; install it: sudo apt-get install ${*%%|*}"
    return 1
  fi
  if [ -t 0 ] && [ -t 2 ]; then
    printf 'buswitness: needs %s. Install with apt-get now? [Y/n] ' "$what" >&2
    read -r answer
    case $answer in
      ''|y|Y|yes|Yes) ;;
      *) say "not installed; install it yourself: sudo apt-get install ${*%%|*}"; return 1 ;;
    esac
  else
    say "installs $what with apt-get"
  fi
  mkdir -p "$store"
  for wanted in "$@"; do
    has_package "${wanted%%|*}" || { $root apt-get update >"$store/install.log" 2>&1; break; }
  done
  for wanted in "$@"; do
    choice=${wanted##*|}
    has_package "${wanted%%|*}" && choice=${wanted%%|*}
    packages+=("$choice")
  done
  if ! $root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "${packages[@]}" \
      >>"$store/install.log" 2>&1 </dev/null; then
    tail -n 5 "$store/install.log" >&2
    say "could not install ${packages[*]}; the lines above are apt-get's last (all: $store/install.log)"
    return 1
  fi
}

# Java 17 or newer with its compiler, and Maven; leaves $java_home and exports JAVA_HOME.
need_build_tools() {
  local missing=() names=()
  find_jdk || { names+=("a Java 17 development kit"); missing+=("openjdk-17-jdk-headless|default-jdk-headless"); }
  command -v mvn >/dev/null || { names+=("Maven"); missing+=("maven|maven"); }
  if [ ${#missing[@]} -gt 0 ]; then
    local what=${names[0]}
    [ ${#names[@]} -gt 1 ] && what="$what and ${names[1]}"
    install_packages "$what" "${missing[@]}" || return 1
    hash -r
    find_jdk || { say "still finds no Java 17 development kit; set JAVA_HOME to one"; return 1; }
  fi
  export JAVA_HOME=$java_home
}
