#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# Who includes whom: every #include in src/ and include/ against the table in DEVELOPERS.md between the lines
# <!-- includes --> and <!-- /includes -->: which modules, and what else beside the C library
# ("posix", or folders of third-party headers).
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
. "$root/.ci/files.sh"
cd "$root" || exit 1

[ -f DEVELOPERS.md ] || { echo "DEVELOPERS.md with the table is missing"; exit 1; }
files 'src/*.c' 'src/*.h' 'include/*.h' | present | tr '\n' '\0' | xargs -0 awk '
    FNR == 1 { table = 0 }
    FILENAME == "DEVELOPERS.md" {
        if (/<!-- includes -->/) table_on = 1
        if (/<!-- \/includes -->/) table_on = 0
        if (table_on && /^\| *[0-9]/) {
            n = split($0, cell, "|")
            name = cell[3]; gsub(/ /, "", name)
            known[name] = 1
            may[name] = " " cell[5] " "; also[name] = " " cell[6] " "
            rows++
        }
        next
    }
    !/^#include/ { next }
    {
        split(FILENAME, part, "/")
        module = part[1] == "src" ? part[2] : part[3]
        sub(/\.h$/, "", module)
        if (module == "tallwide" || module == "version") next
        target = $2; gsub(/[<>"]/, "", target)
        checked++
        if (!(module in known)) { complain("module " module " has no row in DEVELOPERS.md"); next }
        if ($2 ~ /^"/ && target !~ /\//) next
        if (target == "base/ext.h" || target == "tallwide/version.h") next
        n = split(target, step, "/")
        if (target ~ /^tallwide\//) { other = step[2]; sub(/\.h$/, "", other) }
        else if ($2 ~ /^"/) other = step[1]
        else { outside(module, target); next }
        if (other == module) next
        if ($2 ~ /^"/) complain("private header of another module: " target)
        else if (index(may[module], " " other " ") == 0 && index(may[module], " all ") == 0)
            complain(module " may not include " other)
    }
    function outside(module, target,   word) {
        if (target ~ /^(assert|ctype|errno|float|inttypes|limits|math|setjmp|stdalign|stdarg|stdbool|stddef|stdint|stdio|stdlib|string)\.h$/)
            return
        word = target ~ /\// && target !~ /^sys\// ? substr(target, 1, index(target, "/") - 1) : "posix"
        if (index(also[module], " " word " ") == 0) complain(module " may not include <" target ">")
    }
    function complain(what) { printf "%s:%d: %s\n", FILENAME, FNR, what; bad = 1 }
    END {
        if (rows == 0) { print "no table of includes found in DEVELOPERS.md"; bad = 1 }
        printf "%d includes checked against %d rows\n", checked, rows
        exit bad
    }' DEVELOPERS.md
