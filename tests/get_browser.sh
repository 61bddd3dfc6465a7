#!/bin/sh
# The page tests drive the system's Chromium. Install it where that is possible; otherwise say what to do.
set -e
if command -v apt-get >/dev/null 2>&1; then
    run=""
    [ "$(id -u)" = 0 ] || run="sudo"
    $run apt-get update -q && $run apt-get install -qy --no-install-recommends chromium
else
    echo "The page tests need Chromium: install it with your system's package manager, so that 'chromium' is on the PATH." >&2
    exit 1
fi
