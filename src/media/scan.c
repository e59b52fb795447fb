/* SPDX-License-Identifier: Apache-2.0
 *
 * Files below a folder.
 */
#define _POSIX_C_SOURCE 200809L
#include "media/media_internal.h"

#include <dirent.h>
#include <errno.h>
#include <string.h>
#include <sys/stat.h>

typedef struct scan {
    tw_arena *arena;
    tw_diags *diags;
    tw_media_paths *out;
    size_t cap;
    bool full; /* told once */
} scan;

static const char *const endings[] = {
    "mov", "mp4",  "m4v", "mxf", "mkv", "avi",  "ts",   "mts",  "m2ts", "mpg",  "mpeg", "webm", "dv",
    "nut", "y4m",  "wmv", "flv", "3gp", "ogv",  "jpg",  "jpeg", "png",  "tif",  "tiff", "dpx",  "exr",
    "bmp", "webp", "wav", "bwf", "aif", "aiff", "flac", "m4a",  "mp3",  "rf64", NULL,
};

static bool is_media(const char *name)
{
    const char *dot = strrchr(name, '.');
    for (size_t i = 0; dot != NULL && endings[i] != NULL; i++)
        if (tw_str_ieq(tw_str_z(dot + 1), tw_str_z(endings[i])))
            return true;
    return false;
}

static void add(scan *s, const char *path)
{
    if (s->out->count == TW_MEDIA_FILES) {
        if (!s->full)
            tw_diag_add(s->diags, 2106, NULL, "more than %d files: the rest were not looked at", TW_MEDIA_FILES);
        s->full = true;
        return;
    }
    TW_PUSH(s->arena, s->out->at, s->out->count, s->cap) = path;
}

/* Links to files are followed, links to folders are not: those can go in circles. */
static void look_at(scan *s, const char *path, const char *name, int depth);

static bool walk(scan *s, const char *folder, int depth)
{
    DIR *dir = opendir(folder);
    if (dir == NULL)
        return false;
    const char *slash = folder[strlen(folder) - 1] == '/' ? "" : "/";
    for (const struct dirent *e; !s->full && (e = readdir(dir)) != NULL;)
        if (e->d_name[0] != '.')
            look_at(s, tw_arena_printf(s->arena, "%s%s%s", folder, slash, e->d_name).at, e->d_name, depth);
    closedir(dir);
    return true;
}

static void look_at(scan *s, const char *path, const char *name, int depth)
{
    struct stat st;
    if (lstat(path, &st) != 0)
        return;
    if (S_ISDIR(st.st_mode)) {
        if (depth == TW_MEDIA_DEPTH)
            tw_diag_add(s->diags, 2106, NULL, "%s lies more than %d folders deep and was not looked at", path,
                        TW_MEDIA_DEPTH);
        else if (!walk(s, path, depth + 1))
            tw_diag_add(s->diags, 2106, NULL, "%s was not looked at: %s", path, strerror(errno));
        return;
    }
    bool file = S_ISREG(st.st_mode) || (S_ISLNK(st.st_mode) && stat(path, &st) == 0 && S_ISREG(st.st_mode));
    if (file && is_media(name))
        add(s, path);
}

static int by_path(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

tw_status tw_media_scan(tw_arena *arena, const char *folder, tw_diags *diags, tw_media_paths *out)
{
    struct stat st;
    tw_media_paths found = {.at = NULL};
    scan s = {.arena = arena, .diags = diags, .out = &found};
    bool there = folder[0] != '\0' && stat(folder, &st) == 0;
    if (there && !S_ISDIR(st.st_mode))
        add(&s, folder);
    else if (!there || !walk(&s, folder, 0)) {
        tw_diag_add(diags, 2105, TW_IN(tw_str_z(folder)), "cannot be read: %s",
                    folder[0] != '\0' ? strerror(errno) : "no name");
        return TW_ERR_IO;
    }
    TW_SORT(found.at, found.count, by_path);
    *out = found;
    return TW_OK;
}
