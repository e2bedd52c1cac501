#!/bin/sh
# Make the virtual environment and install the package into it; one clear sentence where that fails.
# usage: setup.sh PYTHON VENV WHAT
set -u
python=$1 venv=$2 what=$3

stop() { echo "wainscot: $1" >&2; exit 1; }

[ -n "$python" ] || stop "Python 3.11 or newer was not found; install it, or name it: make PYTHON=/path/to/python3 ..."
if ! "$python" -c 'import venv, ensurepip' >/dev/null 2>&1; then
    stop "this Python has no venv module; install it (Debian and Ubuntu: apt install python3-venv) and run the same command again"
fi
if [ ! -x "$venv/bin/python" ]; then
    echo "Making $venv ..." >&2
    "$python" -m venv "$venv" || stop "could not make $venv; is this folder writable and the disk not full?"
fi
echo "Installing what wainscot needs (a minute or two the first time) ..." >&2
log=$(mktemp) || stop "could not make a temporary file; is the disk full?"
if ! "$venv/bin/python" -m pip install --quiet --disable-pip-version-check --no-compile -e "$what" >"$log" 2>&1; then
    tail -n 20 "$log" >&2
    rm -f "$log"
    stop "could not install the packages; is there a network, and does pip reach a package index? Then run the same command again"
fi
rm -f "$log"
