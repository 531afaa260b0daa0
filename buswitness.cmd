@echo off
rem Starts Buswitness on Windows, where Java 17 or newer and, to build, Maven are already there.
rem Untested: written without a Windows machine at hand. On Linux and macOS use ./buswitness instead.
setlocal
set "PROJECT=%~dp0"
set "STORE=%PROJECT%target\launcher-windows"
set "JAR=%STORE%\buswitness.jar"
set "JAVA=java.exe"
if defined JAVA_HOME set "JAVA=%JAVA_HOME%\bin\java.exe"
"%JAVA%" --version >nul 2>&1
if errorlevel 1 (
  echo buswitness: needs Java 17 or newer; install a development kit, set JAVA_HOME to it and start again 1>&2
  exit /b 2
)

if not exist "%JAR%" goto build
powershell -NoProfile -Command "$built = (Get-Item -LiteralPath $env:JAR).LastWriteTime; $sources = @(Get-ChildItem -Recurse -LiteralPath (Join-Path $env:PROJECT 'src\main')) + @(Get-Item -LiteralPath (Join-Path $env:PROJECT 'pom.xml')); if ($sources | Where-Object { $_.LastWriteTime -gt $built }) { exit 1 }"
if not errorlevel 1 goto start

:build
where mvn >nul 2>&1
if errorlevel 1 (
  echo buswitness: needs Maven to build; install it, put it on the path and start again 1>&2
  exit /b 2
)
echo buswitness: building 1>&2
if not exist "%STORE%" mkdir "%STORE%"
pushd "%PROJECT%"
call mvn -B -q -Dstyle.color=never "-DbuildDirectory=%STORE%\work" process-classes jar:jar@default-jar shade:shade@default >"%STORE%\build.log" 2>&1
if errorlevel 1 (
  popd
  echo buswitness: could not build; see "%STORE%\build.log" 1>&2
  exit /b 2
)
popd
for %%J in ("%STORE%\work\buswitness-*-all.jar") do copy /y /b "%%J"+,, "%JAR%.part" >nul
move /y "%JAR%.part" "%JAR%" >nul

:start
"%JAVA%" -XX:+UseSerialGC -XX:MaxRAMPercentage=50 -Djava.awt.headless=true %BUSWITNESS_JAVA_OPTIONS% -cp "%JAR%" buswitness.cli.Main %*
exit /b %errorlevel%
