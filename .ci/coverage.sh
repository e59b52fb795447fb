#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# bash .ci/coverage.sh FOLDER: lines of the core (src without the command line) that the tests of a build with
# -DTW_COVERAGE=ON in FOLDER have run, worst files first. Fails below 90 %.
set -u
cd "${1:?a folder}" || exit 1
command -v gcov >/dev/null || { echo "gcov is not installed"; exit 77; }
find src -path '*tallwide_objects.dir*' -name '*.gcda' -print0 | xargs -0 -r gcov -n 2>/dev/null |
    awk '/^File / { file = $0; gsub(/^File \x27|\x27$/, "", file) }
    /^Lines executed:/ { sub("executed:", "", $2); split($2, part, "%"); if (file ~ /\/src\/[a-z]+\/[a-z_0-9]+\.c$/) {
        sub(/.*\/src\//, "", file); printf "%6.2f %% of %4d  %s\n", part[1], $4, file; lines += $4; run += $4 * part[1] / 100 }
        file = "" }
    END { if (lines == 0) exit 1; printf "%6.2f %% of %d lines\n", 100 * run / lines, lines; exit 100 * run / lines < 90 }' \
        >coverage.txt
code=$?
grep -v ' lines$' coverage.txt | sort -n | head -n 12
grep ' lines$' coverage.txt
exit $code
