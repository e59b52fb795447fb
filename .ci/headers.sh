#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# Each public header compiles alone, with every compiler at hand, as C11 and as C++11.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
cd "$root" || exit 1
bad=0 done=0
for compiler in gcc clang g++ clang++; do
    command -v "$compiler" >/dev/null || { echo "$compiler is not installed: not tried"; continue; }
    case $compiler in
    *++) language=(-x c++ -std=c++11) ;;
    *) language=(-x c -std=c11 -Wstrict-prototypes) ;;
    esac
    for header in include/tallwide/*.h; do
        done=$((done + 1))
        printf "#include <tallwide/%s>\nint declared_so_that_the_unit_is_not_empty;\n" "${header##*/}" |
            "$compiler" "${language[@]}" -pedantic -Wall -Wextra -Wundef -Werror -Iinclude -fsyntax-only - || bad=1
    done
done
echo "$done compilations"
exit $bad
