#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# .ci/symbols.sh BUILD: all global names of the library start with tw_ or twi_, nothing global can be written to,
# and the shared library offers every function that a public header declares.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
lib=${1:-$root/build}/src/libtallwide
bad=0

foreign=$(nm -g --defined-only "$lib.a" | awk 'NF == 3 && $3 !~ /^twi?_/ {print $3}')
[ -z "$foreign" ] || { echo "global names without our prefix:" $foreign; bad=1; }

# D, B: writable data; mutable statics (d, b) as well. Constant tables with pointers live in .data.rel.ro.
writable=$(objdump -t "$lib.a" | awk '$4 ~ /^\.(data|bss)$/ || $3 ~ /^\.(data|bss)$/ {
    if ($NF !~ /^\./ ) print $NF}')
[ -z "$writable" ] || { echo "data that can be written to:" $writable; bad=1; }

declared=$(cat "$root"/include/tallwide/*.h | sed 's|/\*.*\*/||' |
    grep -v '^ \|^/\*\|^#define\|typedef\|^static inline' | grep -oE '\btw_[a-z0-9_]+\(' | tr -d '(' | sort -u)
offered=$(nm -D --defined-only "$lib.so" | awk '{print $3}' | sort -u)
lacking=$(comm -23 <(echo "$declared") <(echo "$offered"))
[ -z "$lacking" ] || { echo "declared in a header, not in the shared library:" $lacking; bad=1; }
echo "$(echo "$declared" | wc -l) functions declared, $(echo "$offered" | grep -c '^tw_') offered"
exit $bad
