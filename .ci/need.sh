# SPDX-License-Identifier: Apache-2.0
# Sourced by the run scripts. need PACKAGE...: installs those Debian packages that are missing, and only those.
# Where it cannot (no apt-get, not root, no network) it says what is missing and goes on: the tools may be there by
# another way, and if they are not, the step that wants them says so.

need() {
    local missing=() package
    if ! command -v dpkg-query >/dev/null; then
        echo "need: not a Debian system; install by hand what this list names: $*"
        return 0
    fi
    for package in "$@"; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' || missing+=("$package")
    done
    [ ${#missing[@]} -gt 0 ] || return 0
    if [ "$(id -u)" -ne 0 ] || ! command -v apt-get >/dev/null; then
        echo "need: missing, and this user cannot install them: ${missing[*]}"
        return 0
    fi
    echo "need: installing ${missing[*]}"
    export DEBIAN_FRONTEND=noninteractive
    apt-get -q update >/dev/null || echo "need: apt-get update failed, trying with the lists at hand"
    apt-get -q -y install --no-install-recommends "${missing[@]}" >/dev/null ||
        echo "need: apt-get could not install ${missing[*]}; going on without"
}

# configure FOLDER OPTION...: sets up a build folder, with ninja where it exists; one that exists keeps its generator.
configure() {
    local folder=$1 generator=()
    shift
    if [ ! -f "$folder/CMakeCache.txt" ] && command -v ninja >/dev/null; then
        generator=(-G Ninja)
    fi
    mkdir -p "$folder"
    cmake -S "$root" -B "$folder" "${generator[@]}" "$@" >"$folder/configure.log" 2>&1 || {
        cat "$folder/configure.log"
        return 1
    }
}

# Packages of the build itself, and of everything the tests use.
build_packages=(build-essential cmake ninja-build pkg-config libxml2-dev)
test_packages=(libcmocka-dev libcjson-dev clang clang-format libclang-rt-14-dev valgrind glpk-utils git python3
    locales libxml2-utils w3c-sgml-lib ffmpeg)
