# SPDX-License-Identifier: Apache-2.0
# Sourced by the checks. files GLOB...: the repository's own files of these names below the root, one a line,
# from git where there is a repository, else from the folders that hold sources.

files() {
    if git -C "$root" rev-parse --is-inside-work-tree >/dev/null 2>&1; then
        git -C "$root" ls-files -c -o --exclude-standard -- "$@"
    else
        local pattern tests=()
        for pattern in "$@"; do
            tests+=(-o -path "./$pattern")
        done
        (cd "$root" && find . -path './build*' -prune -o -type f \( "${tests[@]:1}" \) -print | sed 's|^\./||' | sort)
    fi
}

# Prints the file list lines that exist on disk (a deleted file may still be in git's list).
present() {
    while IFS= read -r f; do
        [ -f "$root/$f" ] && printf '%s\n' "$f"
    done
}
