#!/bin/sh
# Checks a setup sheet with a second reader: pdftotext finds the key figures, and the check bar of the drawing page, painted
# at 300 dpi by pdftoppm, measures 100.0 ± 0.2 mm. Needs poppler-utils.
#
# usage: rasterise.sh SHEET.pdf [WORDS...]      each of WORDS must be found in the text
set -eu
pdf=$1
shift
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

pdftotext -layout "$pdf" "$work/text"
for words in "Setup sheet" "Page 1 of" "Weigh or set" "Bench steps" "Cautions" "this bar is 100 mm" "$@"; do
    grep -qF -- "$words" "$work/text" || { echo "$pdf: the text lacks: $words" >&2; exit 1; }
done
if pdffonts "$pdf" | tail -n +3 | awk '{ if ($(NF-4) != "yes") exit 1 }'; then :; else
    echo "$pdf: a font is not embedded" >&2
    exit 1
fi

# The page that carries the bar, the bar's place above its words, and the ink there.
count=$(pdfinfo "$pdf" | awk '/^Pages:/ { print $2 }')
page=1
while [ "$page" -le "$count" ]; do
    if pdftotext -f "$page" -l "$page" "$pdf" - | grep -qF "this bar is 100 mm"; then break; fi
    page=$((page + 1))
done
pdftotext -bbox -f "$page" -l "$page" "$pdf" "$work/boxes"
# The words' baseline lies half a millimetre below the bar; its row in points from the top.
row=$(awk -F'"' '/>bar</ { print ($4 + $8) / 2; exit }' "$work/boxes")
pdftoppm -f "$page" -l "$page" -r 300 -gray "$pdf" "$work/page"
# Longest unbroken run of ink within 4 mm of that row, left of the words (x < 125 mm), counting pixels by their greyness.
python3 - "$work"/page*.pgm "$row" <<'END'
import sys
data = open(sys.argv[1], "rb").read()
fields, at = [], 0
while len(fields) < 4:
    end = at
    while data[end] not in b" \t\r\n":
        end += 1
    fields.append(data[at:end])
    at = end + 1
wide, tall = int(fields[1]), int(fields[2])
pixels = data[at:]
per_mm = 300 / 25.4
middle = float(sys.argv[2]) / 72 * 300
best = 0.0
for y in range(max(0, int(middle - 4 * per_mm)), min(tall, int(middle + 4 * per_mm))):
    line = pixels[y * wide : y * wide + int(125 * per_mm)]
    run = 0.0
    for value in line:
        ink = 1 - value / 255
        if ink > 0.02:
            run += ink
            best = max(best, run)
        else:
            run = 0.0
print(f"check bar: {best / per_mm:.2f} mm")
sys.exit(0 if abs(best / per_mm - 100) <= 0.2 else 1)
END
