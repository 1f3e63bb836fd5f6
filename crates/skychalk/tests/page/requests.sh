#!/usr/bin/env bash
# Requests made from the server's own description, right and wrong ones: none may make it fail. Packages come into a throwaway folder.
# Usage: requests.sh PROGRAM
set -euo pipefail
program="$(realpath "$1")"
place="$(mktemp -d)"
"$program" serve --no-browser --listen 127.0.0.1:0 2> "$place/said" &
server=$!
trap 'kill "$server" 2> /dev/null || true; rm -rf "$place"' EXIT
python3 -m venv "$place/python"
"$place/python/bin/pip" install --quiet "schemathesis>=4,<5"
for _ in $(seq 50); do grep -q http:// "$place/said" && break; sleep 0.1; done
address="$(grep -o 'http://[^ ]*' "$place/said" | head -1)"
"$place/python/bin/schemathesis" run "${address}api/openapi.json" --checks not_a_server_error --max-examples 6 --phases examples,fuzzing --seed 1
