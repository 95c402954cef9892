#!/usr/bin/env bash
# Installs the outside readers that the tests check our files with: Debian's
# packages only. Quiet when everything is there.
set -euo pipefail

missing=()
need() { # command package
	command -v "$1" >/dev/null || missing+=("$2")
}
need rsvg-convert librsvg2-bin
need hp2xx hp2xx
need qpdf qpdf
need pdftoppm poppler-utils
need hb-shape libharfbuzz-bin
need zbarimg zbar-tools
/usr/bin/python3 -c 'import ezdxf' 2>/dev/null || missing+=(python3-ezdxf)
/usr/bin/python3 -c 'import shapely' 2>/dev/null || missing+=(python3-shapely)
/usr/bin/python3 -c 'import openpyxl' 2>/dev/null || missing+=(python3-openpyxl)
/usr/bin/python3 -c 'import fontTools' 2>/dev/null || missing+=(python3-fonttools)
[ -e /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf ] || missing+=(fonts-dejavu-core)

[ ${#missing[@]} -eq 0 ] && exit 0

if ! command -v apt-get >/dev/null; then
	echo "The tests check our files with other programs, and these are missing: ${missing[*]}" >&2
	echo "Install them (the names are those of Debian's packages), then run this again." >&2
	exit 1
fi
as_root=()
if [ "$(id -u)" -ne 0 ] && command -v sudo >/dev/null; then
	as_root=(sudo)
fi
echo "Installing the outside readers of the tests: ${missing[*]}"
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
