#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# Every src/m/f.c has tests/m/test_f.c that is registered; of the command line, which is tested from outside, every
# cmd_x.c has a case in fixtures/ whose args begin with x. The tables diag/codes_*.c are tested by test_diag_codes.c.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
. "$root/.ci/files.sh"
cd "$root" || exit 1
bad=0 seen=0

cases=$(cat fixtures/*/*/args 2>/dev/null | awk '{print $1}' | sort -u)
while IFS= read -r source; do
    module=${source#src/} module=${module%%/*} name=${source##*/} name=${name%.c}
    seen=$((seen + 1))
    [[ $module/$name == diag/codes_* ]] && continue
    if [ "$module" = cli ]; then
        case $name in
        cmd_*) grep -qx "${name#cmd_}" <<<"$cases" || { echo "$source: no case in fixtures/ runs it"; bad=1; } ;;
        esac
    elif [ ! -f "tests/$module/test_$name.c" ]; then
        echo "$source: tests/$module/test_$name.c is missing"
        bad=1
    elif ! grep -Pzoq "tw_test\($module\b[^)]*\b$name\b" tests/CMakeLists.txt; then
        echo "tests/$module/test_$name.c: not registered in tests/CMakeLists.txt"
        bad=1
    fi
done < <(files 'src/*.c' | present)
echo "$seen source files"
exit $bad
