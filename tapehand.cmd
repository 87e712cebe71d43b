@echo off
rem Sets Tapehand up beside this file the first time, then starts it. "tapehand test" sets up and runs the tests.
setlocal
set "HERE=%~dp0"
set "VENV=%HERE%.venv"
set "EXTRAS=voice"
if /i "%~1"=="test" set "EXTRAS=voice,dev"
set "READY=%VENV%\ready-%EXTRAS:,=-%.toml"

rem Set up again when the list of packages has changed.
if exist "%VENV%\Scripts\python.exe" fc /b "%HERE%pyproject.toml" "%READY%" >nul 2>&1 && goto run

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
"%VENV%\Scripts\python.exe" -m pip --disable-pip-version-check install --quiet --no-input --editable "%HERE%.[%EXTRAS%]"
if errorlevel 1 (
  echo tapehand: Could not install Tapehand's Python packages. Setting up needs the network once: connect it and start again. 1>&2
  exit /b 1
)
copy /y "%HERE%pyproject.toml" "%READY%" >nul

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
