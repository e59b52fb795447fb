#!/bin/bash
# SPDX-License-Identifier: Apache-2.0
# bash .ci/determinism.sh FOLDER: the command built by gcc -O0 and clang -O3 (TW_LONG=1: both at both levels) writes the
# same bytes, with one thread and with five, in five locales and three time zones, and from another folder. Builds and
# runs in FOLDER/determinism; a compiler or locale that is not there is said to be left out.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd) || exit 1
top=$(mkdir -p "${1:?a folder}/determinism" && cd "$1/determinism" && pwd) || exit 1
export LC_ALL=C.UTF-8 TZ=UTC
bad=0 runs=0

build() {
    local name=$1 compiler=$2 level=$3
    cmake -S "$root" -B "$top/$name" -DTW_TESTS=OFF -DCMAKE_C_COMPILER="$compiler" -DCMAKE_BUILD_TYPE=None \
        -DCMAKE_C_FLAGS="$level" >"$top/$name.log" 2>&1 &&
        cmake --build "$top/$name" --target tallwide -j "$(nproc)" >>"$top/$name.log" 2>&1 || { tail -n 20 "$top/$name.log"; return 1; }
}

# All the command makes of the demo, as one line a file: both kinds of master, the page, the chart, two conversions.
make_all() {
    local tool=$1 folder=$2 threads=$3
    rm -rf "$folder"
    mkdir -p "$folder" && cp -R "$root/fixtures/demo/." "$folder" && cd "$folder" || return 1
    "$tool" fork wheel.plan.json -o otio --threads "$threads" >fork.txt
    "$tool" fork wheel-list.plan.json -o list --threads "$threads" --json >fork.json
    "$tool" sheet wheel.plan.json -o page.xhtml >/dev/null
    for form in "" --json --svg; do "$tool" chart --source 5760x4320 3840x2160 1080x1920 1080x1080 $form >"chart$form"; done
    "$tool" convert wheel.otio wheel.new.smil 2>losses.smil.txt
    "$tool" convert wheel.otio wheel.new.edl 2>losses.edl.txt
    find . -type f ! -name .tallwide.lock -print0 | LC_ALL=C sort -z | xargs -0 sha256sum
}

# same WHAT TOOL FOLDER THREADS: as the first run, or says which files are not.
same() {
    local what=$1
    shift
    (make_all "$@") >"$top/now" 2>"$top/said" || { cat "$top/said"; bad=1; }
    runs=$((runs + 1))
    [ -f "$top/first" ] || cp "$top/now" "$top/first"
    cmp -s "$top/first" "$top/now" && return
    bad=1
    echo "$what: other bytes in"
    diff "$top/first" "$top/now" | awk '/^>/ {print "    " $3}'
}

rm -f "$top/first"
tools=()
builds=("gcc -O0" "clang -O3")
[ -z "${TW_LONG:-}" ] || builds+=("gcc -O3" "clang -O0")
for wanted in "${builds[@]}"; do
    read -r compiler level <<<"$wanted"
    command -v "$compiler" >/dev/null || { echo "$compiler is not installed: left out"; continue; }
    build "$compiler$level" "$compiler" "$level" || { bad=1; continue; }
    tools+=("$compiler$level")
done
[ ${#tools[@]} -gt 0 ] || exit 1
for name in "${tools[@]}"; do
    for threads in 1 5; do
        same "$name, $threads threads" "$top/$name/src/tallwide" "$top/work" $threads
    done
done

# Locales that are not installed are made, as far as their sources are there.
tool=$top/${tools[0]}/src/tallwide
export LOCPATH=$top/locale
mkdir -p "$LOCPATH"
for locale in C de_DE.UTF-8 tr_TR.UTF-8 ar_SA.UTF-8 hi_IN.UTF-8; do
    [ $locale = C ] || [ -d "$LOCPATH/$locale" ] || localedef -i ${locale%.*} -f UTF-8 "$LOCPATH/$locale" 2>/dev/null ||
        { echo "the locale $locale cannot be made: left out"; continue; }
    LC_ALL=$locale same "$locale" "$tool" "$top/work" 2
done
for zone in UTC America/St_Johns Pacific/Kiritimati; do
    TZ=$zone same "$zone" "$tool" "$top/work" 2
done
same "from another folder" "$tool" "$top/other place/näher/run" 2

echo "$runs runs of ${#tools[@]} builds, $(wc -l <"$top/first") files each: sha256 of all $(sha256sum <"$top/first" | cut -c1-16)"
exit $bad
