#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# What can be checked about style without taste: layout, blanks, invisible characters, calls we do not use, sizes.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
. "$root/.ci/files.sh"
cd "$root" || exit 1
bad=0
report() {
    [ -z "$2" ] || { printf '%s:\n%s\n' "$1" "$2"; bad=1; }
}

mapfile -t code < <(files 'src/*.c' 'src/*.h' 'include/*.h' 'tests/*.c' 'tests/*.h' | present)
mapfile -t own < <(files 'src/*.c' 'src/*.h' 'include/*.h' | present)
mapfile -t text < <(files 'src/*' 'include/*' 'tests/*' '.ci/*' '*.md' 'CMakeLists.txt' '.clang-format' |
    grep -vE '^(fixtures|tests/fuzz/corpus)/' | present)

if clang-format --version 2>/dev/null | grep -q 'version 14'; then
    report "clang-format would change" "$(clang-format --dry-run "${code[@]}" 2>&1 | grep -oE '^[^ :]+:[0-9]+' | uniq)"
else
    echo "clang-format 14 is not installed: layout not checked"
fi
report "blanks at the end of a line" "$(grep -nE '[[:blank:]]+$' "${text[@]}")"
report "tabs" "$(grep -nP '\t' "${text[@]}")"
report "no line end at the end of the file" "$(for f in "${text[@]}"; do [ -z "$(tail -c 1 "$f")" ] || echo "$f"; done)"
report "invisible characters" \
    "$(grep -nP '[\x{00A0}\x{00AD}\x{061C}\x{180E}\x{200B}-\x{200F}\x{2028}-\x{202E}\x{2060}-\x{2069}\x{FEFF}]' "${text[@]}" 2>/dev/null)"
report "no SPDX line first" "$(for f in "${code[@]}"; do head -n 1 "$f" | grep -q 'SPDX-License-Identifier' || echo "$f"; done)"

# Unbounded, stateful or locale-bound calls; and what only the command line may touch.
report "banned calls" "$(grep -nE '\b(sprintf|vsprintf|strcpy|strcat|strncpy|strtok|gets|atof|scanf|sscanf|setlocale|localeconv|alloca|rand|srand|time|localtime|gmtime)\(' "${own[@]}")"
report "only src/cli may use these (and the last words of src/base/arena.c)" \
    "$(grep -nE '\b(stdout|stderr|getenv|exit)\b' "${own[@]}" | grep -vE '^src/cli/|^src/base/arena\.c|^include/|: *(/\*| \*)|/\*.*\b(stdout|stderr|exit)\b.*\*/')"
report "compiler extensions outside src/base/ext.h" \
    "$(grep -nE '__(attribute__|extension__|int128|builtin|typeof)|\btypeof\(' "${own[@]}" | grep -vE '^src/base/ext\.h|^include/tallwide/base\.h')"

report "functions over 60 lines" "$(awk 'FNR == 1 { open = 0 } /^\{/ { open = FNR } /^\}/ {
    if (open && FNR - open + 1 > 60) printf "%s:%d: %d lines\n", FILENAME, open, FNR - open + 1; open = 0 }' "${own[@]}")"
report "files over 800 lines" "$(wc -l "${own[@]}" | awk '$2 != "total" && $1 > 800 {print $2 ": " $1}')"
# Texts in quotes may run on: a sentence that is cut is hard to search for.
report "lines over 120 columns" "$(LC_ALL=C.UTF-8 grep -nE '^.{121,}' "${own[@]}" | grep -v '"')"
echo "${#text[@]} text files, ${#code[@]} of them C"
exit $bad
