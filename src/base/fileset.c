/* SPDX-License-Identifier: Apache-2.0 */
#define _XOPEN_SOURCE 700 /* realpath */
#include "guard.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- what a set holds ------------------------------------------------------------------------------------- */

typedef struct entry {
    char *path, *folder;
    char *temp_name, *backup_name;
    char *temp, *backup; /* NULL while they do not exist on disk */
    tw_str bytes;
    const char *hidden; /* where somebody else writes it; NULL: we do */
    bool linked;        /* path is where a link leads */
    bool away;          /* to another folder */
} entry;

struct tw_fileset {
    pthread_mutex_t
        mutex; /* held while files are staged or dropped; memory may run out meanwhile, so it is recursive */
    bool dropped;
    tw_arena *arena;
    entry *at;
    size_t len, cap;
    char **guarded;
    size_t guarded_len, guarded_cap;
    const char *made; /* the folder, when it was not there before */
    bool locked;
    twi_guard guard; /* while locked */
    bool holding;    /* signals */
    sigset_t before;
};

tw_fileset *tw_fileset_new(tw_arena *arena)
{
    tw_fileset *set = TW_NEW(arena, tw_fileset);
    pthread_mutexattr_t recursive;
    pthread_mutexattr_init(&recursive);
    pthread_mutexattr_settype(&recursive, PTHREAD_MUTEX_RECURSIVE);
    pthread_mutex_init(&set->mutex, &recursive);
    pthread_mutexattr_destroy(&recursive);
    set->arena = arena;
    return set;
}

static char *folder_of(tw_arena *arena, const char *path)
{
    return tw_arena_dupz(arena, tw_str_folder(tw_str_z(path)));
}

static bool same_file(const char *a, const char *b)
{
    struct stat sa, sb;
    return strcmp(a, b) == 0 ||
           (stat(a, &sa) == 0 && stat(b, &sb) == 0 && sa.st_dev == sb.st_dev && sa.st_ino == sb.st_ino);
}

/* Where the file itself is: a link to it stays a link. */
static char *follow(tw_arena *arena, char *path)
{
    struct stat st;
    if (lstat(path, &st) != 0 || !S_ISLNK(st.st_mode))
        return path;
    char *real = realpath(path, NULL);
    if (real == NULL)
        return path; /* a link to nowhere is replaced */
    char *copy = tw_arena_dupz(arena, tw_str_z(real));
    free(real);
    return copy;
}

void tw_fileset_add(tw_fileset *set, const char *path, tw_str bytes)
{
    set->at = tw_arena_grow(set->arena, set->at, set->len, &set->cap, sizeof *set->at);
    char *name = tw_arena_dupz(set->arena, tw_str_z(path)), *real = follow(set->arena, name);
    entry e = {.path = real, .linked = real != name, .bytes = bytes};
    if (e.linked) {
        e.away = !same_file(twi_guard_or_here(folder_of(set->arena, name)), folder_of(set->arena, real));
    }
    set->at[set->len++] = e;
}

void tw_fileset_protect(tw_fileset *set, const char *path)
{
    TW_PUSH(set->arena, set->guarded, set->guarded_len, set->guarded_cap) = tw_arena_dupz(set->arena, tw_str_z(path));
}

/* Two names of one file are two places, unless one of them is a link: what it leads to is what is written. */
static bool same_place(const entry *a, const entry *b)
{
    return a->linked || b->linked ? same_file(a->path, b->path) : strcmp(a->path, b->path) == 0;
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
        if (set->at[i].away && (set->len > 1 || set->locked)) { /* a killed run would leave half a set there */
            *why =
                tw_arena_printf(set->arena,
                                "a link leads to %s, in another folder, where files cannot be kept together with the "
                                "others: take the link away, or choose another folder",
                                set->at[i].path);
            return TW_ERR_SEMANTIC;
        }
        for (size_t j = 0; j < i; j++) {
            if (same_place(&set->at[i], &set->at[j])) {
                *why = tw_arena_printf(set->arena, "%s would be written twice", set->at[i].path);
                return TW_ERR_SEMANTIC;
            }
        }
    }
    return TW_OK;
}

/* What went wrong, told when everything is as it was: telling takes memory. */
typedef struct fault {
    const char *doing, *path;
    int number;
} fault;

static bool fails(fault *f, const char *doing, const char *path)
{
    *f = (fault){doing, path, errno};
    return false;
}

static void name_temps(tw_fileset *set, size_t i)
{
    entry *e = &set->at[i];
    e->folder = folder_of(set->arena, e->path);
    e->temp_name = twi_guard_beside(set->arena, e->path, i, "new");
    e->backup_name = twi_guard_beside(set->arena, e->path, i, "old");
}

/* A journal speaks of its own folder: a last file elsewhere is not put in place for a killed run. */
static void note_all(tw_fileset *set, tw_buf *journal)
{
    for (size_t i = 0; i < set->len; i++)
        if (!set->locked || same_file(twi_guard_or_here(set->at[i].folder), twi_guard_or_here(set->guard.folder)))
            twi_guard_note(journal, set->at[i].temp_name, set->at[i].path);
}

/* Who may read the file is not for us to change. */
static void keep_mode(int fd, const char *path)
{
    struct stat st;
    if (stat(path, &st) == 0 && S_ISREG(st.st_mode) && fchmod(fd, st.st_mode & 0777) != 0)
        errno = 0; /* a drive without modes: not what a later failure is told by */
}

/* What somebody else wrote, under a name that a journal may promise. */
static bool take_over(entry *e, fault *f)
{
    int fd = open(e->hidden, O_RDWR | O_CLOEXEC);
    if (fd < 0)
        return fails(f, "write", e->path);
    keep_mode(fd, e->path);
    bool fine = fsync(fd) == 0 && rename(e->hidden, e->temp_name) == 0;
    if (!fine)
        fails(f, "write", e->path);
    else
        e->temp = e->temp_name;
    close(fd);
    return fine;
}

static bool write_temp(entry *e, fault *f)
{
    if (e->hidden != NULL)
        return take_over(e, f);
    unlink(e->temp_name); /* of a killed run with our number, which one file alone takes no lock to clear away */
    int fd = open(e->temp_name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return fails(f, "write", e->path);
    e->temp = e->temp_name;
    keep_mode(fd, e->path);
    bool fine = twi_guard_write(fd, e->bytes) && fsync(fd) == 0;
    int number = errno;
    if (close(fd) != 0 && fine)
        return fails(f, "write", e->path);
    errno = number;
    return fine || fails(f, "write", e->path);
}

/* A folder's permission to rename does not overrule a file's own. */
static bool replaceable(const entry *e, fault *f)
{
    struct stat st;
    if (stat(e->path, &st) != 0)
        return true;
    errno = S_ISDIR(st.st_mode) ? EISDIR : S_ISREG(st.st_mode) ? 0 : EPERM;
    if (errno == 0 && access(e->path, W_OK) == 0)
        return true;
    return fails(f, "replace", e->path);
}

/* Keeps what is there under a second name, so that a later failure can put it back. */
static bool keep_old(entry *e, fault *f)
{
    struct stat st;
    if (lstat(e->path, &st) != 0)
        return true;
    /* Drives formatted for cameras often know no second names: there the old file is moved aside instead. */
    if (link(e->path, e->backup_name) != 0 && rename(e->path, e->backup_name) != 0)
        return fails(f, "keep a copy of", e->path);
    e->backup = e->backup_name;
    return true;
}

static void undo(tw_fileset *set, size_t renamed)
{
    for (size_t i = 0; i < set->len; i++) {
        entry *e = &set->at[i];
        if (e->temp != NULL)
            unlink(e->temp);
        else if (e->hidden != NULL)
            unlink(e->hidden);
        if (e->backup != NULL) {
            twi_guard_restore(e->backup, e->path);
        } else if (i < renamed) {
            unlink(e->path);
        }
        e->temp = e->backup = NULL;
    }
}

/* Did somebody ask to stop? */
static bool interrupted(fault *f)
{
    bool any = tw_fileset_interrupted();
    if (any)
        *f = (fault){"go on with", "the files: interrupted", EINTR};
    return any;
}

static bool put_in_place(tw_fileset *set, size_t *renamed, fault *f)
{
    for (; *renamed < set->len; ++*renamed) {
        entry *e = &set->at[*renamed];
        if (rename(e->temp, e->path) != 0)
            return fails(f, "write", e->path);
        e->temp = NULL;
    }
    return true;
}

/* Old files are kept aside after the promise: those of a killed run are never what its folder goes back to. The last
 * one is not: nothing can fail after it. guard NULL: one file alone, which a rename replaces whole. */
static bool replace_all(tw_fileset *set, const twi_guard *guard, const tw_buf *journal, size_t *renamed, fault *f)
{
    if (guard != NULL && !twi_guard_promise(guard, journal))
        return fails(f, "write", guard->journal);
    for (size_t i = 0; i + 1 < set->len; i++)
        if (!keep_old(&set->at[i], f))
            return false;
    return put_in_place(set, renamed, f);
}

static bool commit(tw_fileset *set, const twi_guard *guard, const tw_buf *journal, fault *f)
{
    bool fine = true;
    size_t renamed = 0;
    for (size_t i = 0; i < set->len && fine; i++)
        fine = (set->at[i].temp != NULL || write_temp(&set->at[i], f)) && !interrupted(f);
    for (size_t i = 0; i < set->len && fine; i++)
        fine = replaceable(&set->at[i], f);
    fine = fine && replace_all(set, guard, journal, &renamed, f);
    for (size_t i = 0; i < set->len && fine; i++) {
        if (set->at[i].backup != NULL)
            unlink(set->at[i].backup);
        twi_guard_flush(set->at[i].folder);
    }
    if (guard != NULL)
        twi_guard_kept(guard);
    if (!fine)
        undo(set, renamed); /* after the promise is gone, which would be kept in part if this were killed */
    return fine;
}

static tw_status say_fault(tw_fileset *set, const fault *f, tw_str *why)
{
    *why = tw_arena_printf(set->arena, "cannot %s %s: %s", f->doing, f->path, strerror(f->number));
    return TW_ERR_IO;
}

static tw_status lock(tw_fileset *set, const char *folder, tw_str *why)
{
    tw_status status = set->locked ? TW_OK : twi_guard_take(set->arena, folder, &set->guard, why);
    set->locked = status == TW_OK;
    return status;
}

static void unlock(tw_fileset *set)
{
    if (set->locked)
        twi_guard_release(&set->guard);
    set->locked = false;
}

static tw_status commit_guarded(tw_fileset *set, tw_str *why)
{
    tw_buf journal = {.arena = set->arena};
    for (size_t i = 0; i < set->len; i++) /* all memory is taken before files change places */
        if (set->at[i].temp == NULL)
            name_temps(set, i);
    if (set->len > 1) {
        tw_status status = lock(set, set->at[0].folder, why);
        if (status != TW_OK)
            return status;
    }
    note_all(set, &journal);
    fault f = {NULL, NULL, 0};
    bool fine = commit(set, set->locked ? &set->guard : NULL, &journal, &f);
    unlock(set);
    return fine ? TW_OK : say_fault(set, &f, why);
}

static void let_signals(tw_fileset *set)
{
    if (set->holding)
        sigprocmask(SIG_SETMASK, &set->before, NULL);
    set->holding = false;
}

/* A pipe or a device takes one file as it is. */
static bool is_stream(const tw_fileset *set)
{
    struct stat st;
    return set->len == 1 && !set->locked && stat(set->at[0].path, &st) == 0 && !S_ISREG(st.st_mode) &&
           !S_ISDIR(st.st_mode);
}

static tw_status pour(tw_fileset *set, tw_str *why)
{
    fault f = {"write", set->at[0].path, 0};
    let_signals(set); /* there is nothing to put back, and nobody may ever read the pipe */
    int fd = open(f.path, O_WRONLY | O_CLOEXEC);
    bool fine = fd >= 0 && twi_guard_write(fd, set->at[0].bytes);
    f.number = errno;
    if (fd >= 0 && close(fd) != 0 && fine)
        fine = fails(&f, "write", f.path);
    return fine ? TW_OK : say_fault(set, &f, why);
}

/* ---- signals, staging ------------------------------------------------------------------------------------ */

static const int stops[] = {SIGINT, SIGTERM, SIGHUP};

bool tw_fileset_interrupted(void)
{
    sigset_t pending;
    bool any = false;
    if (sigpending(&pending) != 0)
        return false;
    for (size_t i = 0; i < TW_COUNT(stops); i++)
        any = any || sigismember(&pending, stops[i]) == 1;
    return any;
}

static void hold_signals(tw_fileset *set)
{
    sigset_t held;
    if (set->holding)
        return;
    sigemptyset(&held);
    for (size_t i = 0; i < TW_COUNT(stops); i++)
        sigaddset(&held, stops[i]);
    set->holding = sigprocmask(SIG_BLOCK, &held, &set->before) == 0;
}

void tw_fileset_drop(tw_fileset *set)
{
    if (set == NULL)
        return;
    pthread_mutex_lock(&set->mutex);
    set->dropped = true;
    undo(set, 0);
    unlock(set);
    if (set->made != NULL)
        rmdir(set->made); /* stays when somebody else has put something there */
    set->made = NULL;
    set->len = 0;
    let_signals(set);
    pthread_mutex_unlock(&set->mutex);
}

tw_status tw_fileset_begin(tw_fileset *set, const char *folder, tw_str *why)
{
    const char *name = tw_arena_dupz(set->arena, tw_str_z(folder)), *end = name + strlen(name);
    const char *slash = end > name && end[-1] != '/' ? "/" : "";
    const char *inside = tw_arena_printf(set->arena, "%s%s", name, slash).at;
    hold_signals(set);
    set->dropped = false;
    if (name[0] != '\0' && mkdir(name, 0777) == 0) {
        set->made = name;
    } else if (name[0] != '\0' && errno != EEXIST) {
        *why = tw_arena_printf(set->arena, "cannot make the folder %s: %s", name, strerror(errno));
        return TW_ERR_IO;
    }
    return lock(set, inside, why);
}

static bool stage(tw_fileset *set, const char *path, tw_str bytes, fault *f)
{
    if (set->dropped) {
        *f = (fault){"go on with", "the files: interrupted", EINTR};
        return false;
    }
    tw_fileset_add(set, path, bytes);
    name_temps(set, set->len - 1);
    entry *e = &set->at[set->len - 1];
    bool fine = (e->away || write_temp(e, f)) && !interrupted(f); /* commit refuses the former */
    e->bytes = (tw_str){NULL, 0};
    return fine;
}

tw_status tw_fileset_stage(tw_fileset *set, const char *path, tw_str bytes, tw_str *why)
{
    fault f = {NULL, NULL, 0};
    pthread_mutex_lock(&set->mutex);
    tw_status status = stage(set, path, bytes, &f) ? TW_OK : say_fault(set, &f, why);
    pthread_mutex_unlock(&set->mutex);
    return status;
}

/* Beside the file itself, and with the ending that tells programs what to write. */
static const char *hidden_name(tw_arena *arena, const char *path, size_t index)
{
    const char *name = path + tw_str_folder(tw_str_z(path)).len, *dot = strrchr(name, '.');
    const char *ending = dot != NULL ? dot : "";
    char *stem =
        tw_arena_dupz(arena, tw_str_cut(tw_str_z(path), (size_t)((dot != NULL ? dot : path + strlen(path)) - path)));
    return tw_arena_printf(arena, "%s%s", twi_guard_beside(arena, stem, index, "made"), ending).at;
}

tw_status tw_fileset_room(tw_fileset *set, const char *path, const char **hidden, tw_str *why)
{
    tw_fileset_add(set, path, (tw_str){NULL, 0});
    entry *e = &set->at[set->len - 1];
    const char *folder = folder_of(set->arena, e->path);
    size_t i = 0;
    while (strcmp(folder_of(set->arena, set->at[i].path), folder) != 0)
        i++;
    if (i + 1 == set->len) /* the first there: what killed runs have left takes room too */
        twi_guard_clear_made(set->arena, folder);
    fault f = {NULL, NULL, 0};
    e->hidden = *hidden = hidden_name(set->arena, e->path, set->len - 1);
    tw_status status = refuse_inputs(set, why);
    return status == TW_OK && !replaceable(e, &f) ? say_fault(set, &f, why) : status;
}

tw_status tw_fileset_commit(tw_fileset *set, tw_str *why)
{
    hold_signals(set);
    tw_status status = refuse_inputs(set, why);
    if (status == TW_OK && set->len > 0)
        status = is_stream(set) ? pour(set, why) : commit_guarded(set, why);
    if (status == TW_OK) {
        set->made = NULL;
        set->len = 0; /* nothing is left to take away */
    }
    tw_fileset_drop(set);
    return status;
}
