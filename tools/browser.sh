#!/usr/bin/env bash
# Installs what the page's tests need: a browser from Debian, and the libraries that
# web/package-lock.json pins. Quiet when everything is there.
set -euo pipefail
cd "$(dirname "$0")/../web"

if ! command -v npm >/dev/null; then
	echo "The page is built and tested with Node.js 20.19 or newer, which is missing: https://nodejs.org has it." >&2
	exit 1
fi
if ! command -v chromium >/dev/null; then
	if ! command -v apt-get >/dev/null; then
		echo "The page is tested in Chromium, which is missing. Install it, or name one in CHROMIUM, then run this again." >&2
		[ -n "${CHROMIUM:-}" ] || exit 1
	else
		as_root=()
		if [ "$(id -u)" -ne 0 ] && command -v sudo >/dev/null; then
			as_root=(sudo)
		fi
		echo "Installing the browser of the page's tests: chromium"
		"${as_root[@]}" apt-get update -qq
		"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null
	fi
fi
if [ ! -d node_modules ] || [ package-lock.json -nt node_modules/.package-lock.json ]; then
	npm ci --no-fund --no-audit
fi
