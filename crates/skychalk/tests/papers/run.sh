#!/usr/bin/env bash
# The papers as other programs see them (poppler): words in reading order, every font embedded, as many pages as promised, the same
# bytes again. Each page is drawn at 100 dots per inch, to be looked at.
# Usage: run.sh PROGRAM [FOLDER FOR PAGES]
set -euo pipefail
program="$(realpath "$1")"
shots="${2:-$(mktemp -d)}"
mkdir -p "$shots"

fail() { echo "papers: $1" >&2; exit 1; }

# Words of a PDF in the order of reading, on one line.
words() { pdftotext -raw "$1" - | tr '\n\f' '  '; }

# seen FILE WORDS...: each after the one before.
seen() {
  local file="$1" rest; shift
  rest="$(words "$file")"
  for wanted in "$@"; do
    case "$rest" in
      *"$wanted"*) rest="${rest#*"$wanted"}" ;;
      *) fail "$file: \"$wanted\" is not read where it should be" ;;
    esac
  done
}

# embedded FILE: every font is inside, as a subset, with a table of its letters.
embedded() {
  pdffonts "$1" | tail -n +3 | awk 'NF { fonts++; if ($(NF-4) != "yes" || $(NF-3) != "yes" || $(NF-2) != "yes") bad++ }
    END { exit !(fonts >= 1 && bad == 0) }' || { pdffonts "$1"; fail "$1: a font is not embedded"; }
}

# paper NAME PAGES ARGUMENTS...: written twice, the same bytes, so many pages (0: any), drawn.
paper() {
  local name="$1" pages="$2"; shift 2
  "$program" "$@" --format pdf -o "$shots/$name.pdf" 2> /dev/null || [ $? = 1 ]
  "$program" "$@" --format pdf -o "$shots/again.pdf" 2> /dev/null || [ $? = 1 ]
  cmp "$shots/$name.pdf" "$shots/again.pdf" || fail "$name: not the same bytes again"
  rm "$shots/again.pdf"
  local told; told="$(pdfinfo "$shots/$name.pdf" | awk '/^Pages:/ { print $2 }')"
  [ "$pages" = 0 ] || [ "$told" = "$pages" ] || fail "$name: $told pages, not $pages"
  pdfinfo "$shots/$name.pdf" | grep -q '^Title: *[A-Z]' || fail "$name: no title"
  pdfinfo "$shots/$name.pdf" | grep -q '^Tagged: *yes' || fail "$name: not tagged"
  pdfinfo "$shots/$name.pdf" | grep -q 'CreationDate' && fail "$name: a date that nobody told"
  embedded "$shots/$name.pdf"
  pdftoppm -r 100 -png "$shots/$name.pdf" "$shots/$name"
}

day=(--field-elevation 600ft --wind 240/12kt --fit no)
for maneuver in chandelle lazy-eight steep-turn wing-over power-off-stall turns-around-a-point; do
  asked=(brief "$maneuver" --airplane plover-160 "${day[@]}")
  paper "$maneuver-brief" 1 "${asked[@]}" --paper brief
  paper "$maneuver-card" 2 "${asked[@]}" --paper card
  paper "$maneuver-safety" 0 "${asked[@]}" --paper safety
  seen "$shots/$maneuver-brief.pdf" "Plover 160" "entry" "bank" "Training aid, not approved data"
  seen "$shots/$maneuver-card.pdf" "Plover 160" "1 of 2" "Hands and feet" "2 of 2"
  seen "$shots/$maneuver-safety.pdf" "Safety sheet" "Yours to check" "Checked here"
done
for maneuver in loop cuban-eight barrel-roll; do
  asked=(brief "$maneuver" --airplane sandpiper-550 "${day[@]}")
  paper "$maneuver-brief" 1 "${asked[@]}" --paper brief --page-size letter
  paper "$maneuver-card" 2 "${asked[@]}" --paper card --page-size half-letter
done
paper chandelle-whole 0 brief chandelle --airplane plover-160 "${day[@]}" --paper whole
demo="$(dirname "$0")/../../../../data/demo"
paper debrief 0 debrief "$demo"/*.csv --airplane plover-160
seen "$shots/debrief.pdf" "Debrief" "Attempts found" "Change next"
echo "papers: $(find "$shots" -name '*.pdf' | wc -l | tr -d ' ') in order, drawn in $shots"
