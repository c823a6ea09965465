@echo off
rem Starts samelight. Needs Java 17 or later: from JAVA_HOME, else from the PATH.
rem Environment: JAVA_HOME; SAMELIGHT_HEAP (default 512m, enough for 100,000 frames).
setlocal DisableDelayedExpansion
set "SL_LIB=%~dp0..\lib"
if not exist "%SL_LIB%\samelight.jar" goto nolib
set "SL_JAVA="
set "SL_MAJOR="
set "SL_ARCHIVE="
if not defined SAMELIGHT_HEAP set "SAMELIGHT_HEAP=512m"

if not defined JAVA_HOME goto onpath
set "SL_JAVA=%JAVA_HOME%\bin\java.exe"
if exist "%SL_JAVA%" goto found
echo samelight: JAVA_HOME is "%JAVA_HOME%", but there is no bin\java.exe in it. 1>&2
goto refuse

:onpath
for %%I in (java.exe) do set "SL_JAVA=%%~$PATH:I"
if defined SL_JAVA goto found
echo samelight: no Java found: JAVA_HOME isn't set and there is no java.exe on the PATH. 1>&2
goto refuse

rem The version from the runtime's own release file; asking java itself costs a start.
rem Paths may hold parentheses, so none stands unquoted and none is expanded within a block.
:found
for %%I in ("%SL_JAVA%") do set "SL_RELEASE=%%~dpI..\release"
if not exist "%SL_RELEASE%" goto run
for /f "usebackq tokens=1,2 delims==" %%K in ("%SL_RELEASE%") do if "%%K"=="JAVA_VERSION" set "SL_MAJOR=%%~L"
if not defined SL_MAJOR goto run
for /f "tokens=1 delims=.-+_" %%V in ("%SL_MAJOR%") do set "SL_MAJOR=%%V"
if %SL_MAJOR% GEQ 17 goto run
echo samelight: Java 17 or later is needed, but "%SL_JAVA%" is version %SL_MAJOR%. 1>&2
goto refuse

:run
rem A class-data archive that doesn't fit this Java is silently left alone.
if exist "%SL_LIB%\samelight.jsa" set SL_ARCHIVE="-XX:SharedArchiveFile=%SL_LIB%\samelight.jsa"
"%SL_JAVA%" -Xmx%SAMELIGHT_HEAP% -XX:+UseSerialGC -XX:-UsePerfData -Xshare:auto -Xlog:disable -Xlog:all=error:stderr -Djava.awt.headless=true %SL_ARCHIVE% -cp "%SL_LIB%\samelight.jar" samelight.cli.Main %*
exit /b %ERRORLEVEL%

:nolib
echo samelight: there is no lib\samelight.jar beside "%~dp0": copy the whole folder samelight, bin and lib. 1>&2
exit /b 3

:refuse
echo samelight: install a Java 17 (or later) runtime, then set JAVA_HOME to its folder or put its java.exe on the PATH. 1>&2
exit /b 3
