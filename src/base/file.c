/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include <tallwide/base.h>

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- reading --------------------------------------------------------------------------------------------- */

static tw_status read_all(tw_arena *arena, int fd, const char *name, size_t limit, tw_str *out, tw_str *why)
{
    tw_buf buf = {.arena = arena};
    struct stat st;
    if (fstat(fd, &st) == 0 && S_ISDIR(st.st_mode)) {
        *why = tw_arena_printf(arena, "%s is a folder, not a file", name);
        return TW_ERR_IO;
    }
    for (;;) {
        char chunk[65536];
        ssize_t n = read(fd, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0) {
            *why = tw_arena_printf(arena, "cannot read %s: %s", name, strerror(errno));
            return TW_ERR_IO;
        }
        if (n == 0)
            break;
        if ((size_t)n > limit - buf.len) {
            *why = tw_arena_printf(arena, "%s is larger than %zu bytes, the most this tool reads", name, limit);
            return TW_ERR_LIMIT;
        }
        tw_buf_add(&buf, (tw_str){chunk, (size_t)n});
    }
    *out = tw_buf_str(&buf);
    return TW_OK;
}

tw_status tw_file_read(tw_arena *arena, const char *path, size_t limit, tw_str *out, tw_str *why)
{
    if (strcmp(path, "-") == 0)
        return read_all(arena, STDIN_FILENO, "standard input", limit, out, why);
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) {
        *why = tw_arena_printf(arena, "cannot open %s: %s", path, strerror(errno));
        return TW_ERR_IO;
    }
    tw_status status = read_all(arena, fd, path, limit, out, why);
    close(fd);
    return status;
}

/* ---- writing sets ---------------------------------------------------------------------------------------- */

typedef struct entry {
    char *path, *temp, *backup; /* temp and backup: NULL while they do not exist on disk */
    tw_str bytes;
} entry;

struct tw_fileset {
    tw_arena *arena;
    entry *at;
    size_t len, cap;
    char **guarded;
    size_t guarded_len, guarded_cap;
};

tw_fileset *tw_fileset_new(tw_arena *arena)
{
    tw_fileset *set = TW_NEW(arena, tw_fileset);
    set->arena = arena;
    return set;
}

void tw_fileset_add(tw_fileset *set, const char *path, tw_str bytes)
{
    set->at = tw_arena_grow(set->arena, set->at, set->len, &set->cap, sizeof *set->at);
    set->at[set->len++] = (entry){.path = tw_arena_dupz(set->arena, tw_str_z(path)), .bytes = bytes};
}

void tw_fileset_protect(tw_fileset *set, const char *path)
{
    set->guarded = tw_arena_grow(set->arena, set->guarded, set->guarded_len, &set->guarded_cap, sizeof *set->guarded);
    set->guarded[set->guarded_len++] = tw_arena_dupz(set->arena, tw_str_z(path));
}

static bool same_file(const char *a, const char *b)
{
    struct stat sa, sb;
    return strcmp(a, b) == 0 ||
           (stat(a, &sa) == 0 && stat(b, &sb) == 0 && sa.st_dev == sb.st_dev && sa.st_ino == sb.st_ino);
}

static tw_status refuse_inputs(const tw_fileset *set, tw_str *why)
{
    for (size_t i = 0; i < set->len; i++) {
        for (size_t g = 0; g < set->guarded_len; g++) {
            if (same_file(set->at[i].path, set->guarded[g])) {
                *why = tw_arena_printf(set->arena, "%s would overwrite the input %s: choose another folder or name",
                                       set->at[i].path, set->guarded[g]);
                return TW_ERR_SEMANTIC;
            }
        }
        for (size_t j = 0; j < i; j++) {
            if (strcmp(set->at[i].path, set->at[j].path) == 0) {
                *why = tw_arena_printf(set->arena, "%s would be written twice", set->at[i].path);
                return TW_ERR_SEMANTIC;
            }
        }
    }
    return TW_OK;
}

static tw_status failed(const tw_fileset *set, const char *doing, const char *path, tw_str *why)
{
    *why = tw_arena_printf(set->arena, "cannot %s %s: %s", doing, path, strerror(errno));
    return TW_ERR_IO;
}

static bool write_bytes(int fd, tw_str bytes)
{
    while (bytes.len > 0) {
        ssize_t n = write(fd, bytes.at, bytes.len);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return false;
        bytes = tw_str_from(bytes, (size_t)n);
    }
    return true;
}

static char *beside(const tw_fileset *set, const char *path, const char *kind)
{
    tw_str base = tw_str_basename(tw_str_z(path));
    size_t folder = (size_t)(base.at - path);
    return tw_arena_dupz(set->arena, tw_arena_printf(set->arena, "%.*s.%.*s.%s.%ld", (int)folder, path,
                                                     TW_ARG(tw_str_cut(base, 200)), kind, (long)getpid()));
}

static tw_status write_temp(const tw_fileset *set, entry *e, tw_str *why)
{
    char *temp = beside(set, e->path, "new");
    int fd = open(temp, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return failed(set, "write", e->path, why);
    e->temp = temp;
    bool fine = write_bytes(fd, e->bytes) && fsync(fd) == 0;
    int saved = errno;
    fine = close(fd) == 0 && fine;
    if (!fine) {
        errno = saved != 0 ? saved : errno;
        return failed(set, "write", e->path, why);
    }
    return TW_OK;
}

/* Keeps what is there under a second name, so that a later failure can put it back. */
static tw_status keep_old(const tw_fileset *set, entry *e, tw_str *why)
{
    struct stat st;
    if (lstat(e->path, &st) != 0)
        return TW_OK;
    if (S_ISDIR(st.st_mode)) {
        errno = EISDIR;
        return failed(set, "replace", e->path, why);
    }
    char *backup = beside(set, e->path, "old");
    /* Drives formatted for cameras often know no second names: there the old file is moved aside instead. */
    if (link(e->path, backup) != 0 && rename(e->path, backup) != 0)
        return failed(set, "keep a copy of", e->path, why);
    e->backup = backup;
    return TW_OK;
}

static void undo(tw_fileset *set, size_t renamed)
{
    for (size_t i = 0; i < set->len; i++) {
        entry *e = &set->at[i];
        if (e->temp != NULL)
            unlink(e->temp);
        if (e->backup != NULL) {
            rename(e->backup, e->path);
            unlink(e->backup); /* rename leaves both names when they are one file already */
        } else if (i < renamed) {
            unlink(e->path);
        }
    }
}

static void flush_folder(const char *path)
{
    tw_str base = tw_str_basename(tw_str_z(path));
    size_t n = (size_t)(base.at - path);
    char folder[4096];
    if (n >= sizeof folder)
        return;
    memcpy(folder, n > 0 ? path : ".", n > 0 ? n : 1);
    folder[n > 0 ? n : 1] = '\0';
    int fd = open(folder, O_RDONLY | O_CLOEXEC);
    if (fd >= 0) {
        fsync(fd); /* the names, not only the bytes; a file system that cannot says so and nothing is lost */
        close(fd);
    }
}

tw_status tw_fileset_commit(tw_fileset *set, tw_str *why)
{
    tw_status status = refuse_inputs(set, why);
    for (size_t i = 0; i < set->len && status == TW_OK; i++)
        status = write_temp(set, &set->at[i], why);
    for (size_t i = 0; i < set->len && status == TW_OK; i++)
        status = keep_old(set, &set->at[i], why);
    size_t renamed = 0;
    for (; renamed < set->len && status == TW_OK; renamed++) {
        entry *e = &set->at[renamed];
        if (rename(e->temp, e->path) != 0) {
            status = failed(set, "write", e->path, why);
            break;
        }
        e->temp = NULL;
    }
    if (status != TW_OK) {
        undo(set, renamed);
        return status;
    }
    for (size_t i = 0; i < set->len; i++) {
        if (set->at[i].backup != NULL)
            unlink(set->at[i].backup);
        flush_folder(set->at[i].path);
    }
    return TW_OK;
}
