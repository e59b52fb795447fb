/* SPDX-License-Identifier: Apache-2.0 */
#define _XOPEN_SOURCE 700
#include "cli.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

tw_str name_shown(const char *path)
{
    return strcmp(path, "-") == 0 ? TW_STR("standard input") : tw_str_z(path);
}

const char *name_beside(tw_arena *arena, tw_str folder, const char *path, tw_str ending)
{
    const char *slash = folder.len > 0 && folder.at[folder.len - 1] != '/' ? "/" : "";
    tw_str stem = tw_str_stem(tw_str_z(path));
    return tw_arena_printf(arena, "%.*s%s%.*s.%.*s", TW_ARG(folder), slash, TW_ARG(stem), TW_ARG(ending)).at;
}

static bool is_there(tw_arena *arena, tw_str folder)
{
    return folder.len == 0 || access(tw_arena_dupz(arena, folder), F_OK) == 0;
}

const char *name_from(tw_arena *arena, tw_str folder, tw_str path)
{
    static const tw_str up = {"../", 3};
    if (tw_str_starts(path, TW_STR("/")))
        folder.len = 0;
    while (tw_str_starts(path, up) && !is_there(arena, folder)) {
        folder = tw_str_folder(tw_str_cut(folder, folder.len - 1));
        path = tw_str_from(path, up.len);
    }
    return tw_arena_printf(arena, "%.*s%.*s", TW_ARG(folder), TW_ARG(path)).at;
}

/* The real folder of a path, as far as it exists yet, plus the rest. */
static bool absolute(tw_arena *arena, const char *path, char **out)
{
    char folder[PATH_MAX];
    char *dir = tw_arena_dupz(arena, tw_str_folder(tw_str_z(path)));
    size_t kept = strlen(dir);
    while (realpath(kept > 0 ? dir : ".", folder) == NULL) {
        if (kept == 0)
            return false;
        dir[kept - 1] = '\0';
        kept = tw_str_folder(tw_str_z(dir)).len;
        dir[kept] = '\0';
    }
    tw_str base = tw_str_from(tw_str_z(path), strlen(dir));
    *out =
        tw_arena_dupz(arena, tw_arena_printf(arena, "%s/%.*s", strcmp(folder, "/") == 0 ? "" : folder, TW_ARG(base)));
    return true;
}

tw_str name_relative(tw_arena *arena, const char *from, const char *to)
{
    char *a, *b;
    if (from == NULL || strcmp(to, "-") == 0 || !absolute(arena, from, &a) || !absolute(arena, to, &b))
        return tw_str_z(to);
    size_t shared = 0; /* length of the folders both have */
    for (size_t i = 0; a[i] == b[i] && a[i] != '\0'; i++)
        if (a[i] == '/')
            shared = i + 1;
    tw_buf path = {.arena = arena};
    for (const char *p = a + shared; (p = strchr(p, '/')) != NULL; p++)
        tw_buf_addz(&path, "../");
    tw_buf_addz(&path, b + shared);
    return tw_buf_str(&path);
}
