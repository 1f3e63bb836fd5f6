#!/usr/bin/env bash
# Brings the libraries of the page into this folder: exact versions (package.json, package-lock.json), only what `from/` names, each
# bundled to one ES module with no import left in it, with the licences and a README beside them. What it writes is committed as it is.
# Usage: fetch.sh            writes this folder anew
#        fetch.sh --check    fails when the folder is not what this script gives
#        fetch.sh --check M  the same with the packages that are installed in the folder M
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
check=""; [ "${1:-}" = "--check" ] && { check=yes; shift; }
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
modules="${1:-$work/modules}"
if [ ! -d "$modules/node_modules/three" ]; then
  mkdir -p "$modules"
  cp "$here/package.json" "$here/package-lock.json" "$modules/"
  (cd "$modules" && npm ci --silent --no-audit --no-fund > /dev/null)
fi
packages="$modules/node_modules"
out="$work/out"
mkdir -p "$out"
version() { node -p "require('$packages/$1/package.json').version"; }
licence() { node -p "require('$packages/$1/package.json').license"; }

D3="d3-array d3-axis d3-color d3-format d3-interpolate d3-path d3-scale d3-selection d3-shape d3-time d3-time-format internmap"
bundle() { # name, packages that it is made of
  NODE_PATH="$packages" "$packages/.bin/esbuild" "$here/from/$1.js" --bundle --format=esm --minify --target=es2022 --charset=utf8 \
    --legal-comments=inline --log-level=warning --outfile="$out/$1.js" --metafile="$work/$1.json"
  # The bundle's names and their types: the list itself, read by the type checker where the types are installed.
  cp "$here/from/$1.js" "$out/$1.d.ts"
  # Every package that is in the bundle must be named here, or its licence would be missing.
  local found
  found="$(node -p "[...new Set(Object.keys(require('$work/$1.json').inputs).map(f => /node_modules\/([^/]+)/.exec(f)?.[1]).filter(Boolean))].sort().join(' ')")"
  [ "$found" = "$2" ] || { echo "vendor: $1.js is made of: $found; the script says: $2" >&2; exit 1; }
  for package in $2; do
    printf '%s %s (%s)\n\n' "$package" "$(version "$package")" "$(licence "$package")"
    cat "$packages/$package/LICENSE"
    printf '\n'
  done > "$out/$1.LICENSE.txt"
}
bundle three "three"
bundle charts "$D3"

{
  cat <<'README'
# Libraries of the page

Written by `fetch.sh`; do not edit. What is taken of each is listed in `from/`; each bundle is one ES module with its licences beside it
(served too: the help of the page leads there). `crates/skychalk/tests/page/run.sh` compares this folder with what the script gives.

| file | made of | licence |
|---|---|---|
README
  echo "| \`three.js\` | three $(version three), with its fat lines | $(licence three): \`three.LICENSE.txt\` |"
  list=""; for package in $D3; do list="$list, $package $(version "$package")"; done
  echo "| \`charts.js\` | ${list#, } | $(licence d3-scale): \`charts.LICENSE.txt\` |"
  cat <<README

* \`three.js\`: draws *Outside* on the screen (\`pictures/depth.js\`); fetched after the first picture stands.
* \`charts.js\`: scales, shapes and axes of *Curves*, the strip of a flight and the load diagrams (\`core/charts.js\`).
* Bundled by esbuild $(version esbuild); types from @types/three $(version @types/three) and @types/d3-*, installed where types are checked, never served.
* A newer version: change \`package.json\`, run \`npm install --package-lock-only --omit-lockfile-registry-resolved\` here, then \`fetch.sh\`.
README
} > "$out/README.md"

if [ -n "$check" ]; then
  wrong=0
  for file in "$out"/*; do
    cmp -s "$file" "$here/$(basename "$file")" || { echo "vendor: $(basename "$file") is not what fetch.sh gives" >&2; wrong=1; }
  done
  [ "$wrong" = 0 ] || exit 1
  echo "vendor: as fetch.sh gives it"
else
  cp "$out"/* "$here/"
  ls -l "$here"
fi
