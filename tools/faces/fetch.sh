#!/usr/bin/env bash
# Fetches the shipped faces anew from their npm packages, whose versions and
# SHA-512 digests packages.txt locks, into internal/artwork/lettering/faces, which is
# committed: the build needs no network. Wants npm, openssl and Debian's python3-shapely.
set -euo pipefail
cd "$(dirname "$0")"
into=../../internal/artwork/lettering/faces
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

while read -r name version integrity; do
	(cd "$work" && npm pack --silent "$name@$version" >/dev/null)
	archive=$work/$(echo "${name#@}" | tr / -)-$version.tgz
	got=sha512-$(openssl dgst -sha512 -binary "$archive" | base64 -w0)
	if [ "$got" != "$integrity" ]; then
		echo "$name@$version is not the file that packages.txt locks" >&2
		exit 1
	fi
	mkdir -p "$work/$(basename "$name")"
	tar -xzf "$archive" -C "$work/$(basename "$name")" --strip-components=1
done <packages.txt

take() { # package folder file
	cp "$work/$1/$2/$3" "$into/$3"
	cp "$work/$1/LICENSE_FONT" "$into/${3%%_*}.OFL.txt"
}
take archivo 800ExtraBold Archivo_800ExtraBold.ttf
take alfa-slab-one 400Regular AlfaSlabOne_400Regular.ttf
take lora 700Bold Lora_700Bold.ttf
take dancing-script 700Bold DancingScript_700Bold.ttf
take pacifico 400Regular Pacifico_400Regular.ttf
for face in EMSReadability EMSAllure; do
	/usr/bin/python3 strokes.py "$work/hersheytext/svg_fonts/$face.svg" >"$into/$face.strokes.txt"
done
{
	echo "EMS Readability and EMS Allure: created by Sheldon B. Michaels, converted to SVG fonts by Windell H. Oskay,"
	echo "derivatives of Source Sans Pro Light by Paul D. Hunt (Adobe) and of Allura by Rob Leuschke (TypeSETit)."
	tail -n +2 "$work/lora/LICENSE_FONT"
} >"$into/EMS.OFL.txt"
