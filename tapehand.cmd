@echo off
rem Sets Tapehand up beside this file the first time, then starts it. "tapehand test" sets up and runs the tests.
setlocal
set "HERE=%~dp0"
set "VENV=%HERE%.venv"
set "EXTRAS=voice"
set "LOCK=voice"
if /i "%~1"=="test" set "EXTRAS=voice,dev"
if /i "%~1"=="test" set "LOCK=dev"
set "READY=%VENV%\ready-%LOCK%.txt"
set "PIP="%VENV%\Scripts\python.exe" -m pip --disable-pip-version-check install --quiet --no-input"

rem Set up again when the list of packages has changed.
if exist "%VENV%\Scripts\python.exe" fc /b "%HERE%locks\%LOCK%.txt" "%READY%" >nul 2>&1 && goto run

set "PYTHON=py -3"
%PYTHON% -c "import sys; sys.exit(sys.version_info < (3, 10))" >nul 2>&1 && goto make
set "PYTHON=python"
%PYTHON% -c "import sys; sys.exit(sys.version_info < (3, 10))" >nul 2>&1 && goto make
echo tapehand: Python 3.10 or later is needed. Install it from python.org and start again. 1>&2
exit /b 1

:make
echo tapehand: Setting up. This is done once and needs the network; it takes a minute or two. 1>&2
if exist "%VENV%\Scripts\python.exe" goto install
%PYTHON% -m venv "%VENV%"
if errorlevel 1 (
  echo tapehand: Could not make a Python environment in "%VENV%". Put Tapehand where you may write, and start again. 1>&2
  exit /b 1
)

:install
rem Each package is the one whose hash is in the lock. Where the lock has none for this computer, what pyproject.toml
rem allows; never where one was there and was another.
set "LOG=%TEMP%\tapehand-setup.log"
%PIP% --require-hashes -r "%HERE%locks\%LOCK%.txt" >"%LOG%" 2>&1 && %PIP% --no-deps --no-build-isolation --editable "%HERE%." >>"%LOG%" 2>&1 && goto installed
findstr /c:"DO NOT MATCH THE HASHES" "%LOG%" >nul && (
  echo tapehand: A package came that is not the one it was checked with. Nothing of it is installed. Try another network. 1>&2
  exit /b 1
)
%PIP% --editable "%HERE%.[%EXTRAS%]"
if errorlevel 1 (
  echo tapehand: Could not install Tapehand's Python packages. Setting up needs the network once: connect it and start again. 1>&2
  exit /b 1
)
:installed
copy /y "%HERE%locks\%LOCK%.txt" "%READY%" >nul

:run
if /i "%~1"=="test" goto test
"%VENV%\Scripts\tapehand.exe" %*
exit /b %errorlevel%

:test
cd /d "%HERE%"
rem Everything after the first word, as it was typed.
for /f "tokens=1,*" %%a in ("%*") do set "REST=%%b"
"%VENV%\Scripts\python.exe" -m pytest %REST%
exit /b %errorlevel%
