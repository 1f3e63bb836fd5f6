#!/usr/bin/env bash
# The page in a real browser: types checked, then every view looked at, by key and by hand. Packages come into a throwaway folder.
# Usage: run.sh PROGRAM [FOLDER FOR SCREENSHOTS]
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
program="$(realpath "$1")"
shots="${2:-$(mktemp -d)}"
mkdir -p "$shots"
modules="$(mktemp -d)"
trap 'rm -rf "$modules"' EXIT
(cd "$modules" && npm init -y > /dev/null && npm install --silent --no-audit --no-fund playwright-core@1.64.1 axe-core@4 typescript@7 > /dev/null)
"$modules/node_modules/.bin/tsc" -p "$here/../../src/web/page/tsconfig.json"
echo "types: in order"
PAGE_TEST_MODULES="$modules" node "$here/run.mjs" "$program" "$shots"
