#!/usr/bin/env bash
# The page in a real browser: vendored libraries and types checked, then every view looked at, by key and by hand. Packages come into a
# throwaway folder.
# Usage: run.sh PROGRAM [FOLDER FOR SCREENSHOTS]
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
page="$(cd "$here/../../src/web/page" && pwd)"
program="$(realpath "$1")"
shots="${2:-$(mktemp -d)}"
mkdir -p "$shots"
modules="$(mktemp -d)"
trap 'rm -rf "$modules"' EXIT
cp "$page/vendor/package.json" "$page/vendor/package-lock.json" "$modules/"
(cd "$modules" && npm ci --silent --no-audit --no-fund > /dev/null && npm install --no-save --silent --no-audit --no-fund playwright-core@1.64.1 axe-core@4 typescript@7 > /dev/null)
"$page/vendor/fetch.sh" --check "$modules"
# The page's own modules; of the vendored ones only what they are said to export, whose types stand in the throwaway folder.
cat > "$modules/tsconfig.json" <<JSON
{ "extends": "$page/tsconfig.json", "include": ["$page/**/*.js", "$page/**/*.d.ts"], "exclude": ["$page/vendor/**/*.js"],
  "compilerOptions": { "skipLibCheck": true, "paths": { "three": ["./node_modules/@types/three"], "three/*": ["./node_modules/@types/three/*"], "d3-*": ["./node_modules/@types/d3-*"] } } }
JSON
"$modules/node_modules/.bin/tsc" -p "$modules/tsconfig.json"
echo "types: in order"
PAGE_TEST_MODULES="$modules" node "$here/run.mjs" "$program" "$shots"
