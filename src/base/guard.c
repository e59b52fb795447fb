/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "guard.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NAME_ROOM 200 /* bytes of a name kept in a temporary's: file systems take 255 */
#define HEAD "tallwide journal 1"
#define TAIL "end"

bool twi_guard_write(int fd, tw_str bytes)
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

/* ---- names ----------------------------------------------------------------------------------------------- */

/* Cut between characters: some file systems take no halves of them. */
static tw_str cut_name(tw_str name)
{
    size_t n = name.len < NAME_ROOM ? name.len : NAME_ROOM;
    while (n < name.len && n > 0 && tw_is_within(name.at[n]))
        n--;
    return tw_str_cut(name, n);
}

char *twi_guard_beside(tw_arena *arena, const char *path, size_t index, const char *kind)
{
    const tw_str folder = tw_str_folder(tw_str_z(path)), name = cut_name(tw_str_from(tw_str_z(path), folder.len));
    return tw_arena_dupz(arena, tw_arena_printf(arena, "%.*s.%.*s.%zu.%s.%ld", TW_ARG(folder), TW_ARG(name), index,
                                                kind, (long)getpid()));
}

/* The parts of such a name. What somebody else makes ("made") has endings behind them that say which kind of file it is. */
typedef struct leftover {
    tw_str name;
    bool old, made; /* else new */
    int64_t pid;
} leftover;

static bool last_part(tw_str *s, tw_str *part)
{
    size_t dot = s->len;
    while (dot > 0 && s->at[dot - 1] != '.')
        dot--;
    if (dot == 0)
        return false;
    *part = tw_str_from(*s, dot);
    *s = tw_str_cut(*s, dot - 1);
    return true;
}

static bool read_parts(tw_str s, leftover *out)
{
    tw_str pid, kind, index;
    int64_t number;
    if (s.len < 2 || s.at[0] != '.' || !last_part(&s, &pid) || !last_part(&s, &kind) || !last_part(&s, &index))
        return false;
    out->old = tw_str_is(kind, "old");
    out->made = tw_str_is(kind, "made");
    out->name = tw_str_from(s, 1);
    return (out->old || out->made || tw_str_is(kind, "new")) && tw_num_int(pid, &out->pid) &&
           tw_num_int(index, &number) && out->pid > 0 && out->name.len > 0;
}

static bool read_leftover(tw_str s, leftover *out)
{
    tw_str ending;
    return read_parts(s, out) || (last_part(&s, &ending) && read_leftover(s, out) && out->made);
}

/* Is the process that made it still at work? Not if its number is ours: nothing of ours is there yet. */
static bool is_at_work(int64_t pid)
{
    return pid != (int64_t)getpid() && (kill((pid_t)pid, 0) == 0 || errno == EPERM);
}

/* ---- the journal ----------------------------------------------------------------------------------------- */

static void add_z(tw_buf *text, const char *z)
{
    tw_buf_add(text, (tw_str){z, strlen(z) + 1});
}

static void add_name(tw_buf *text, const char *path)
{
    add_z(text, path + tw_str_folder(tw_str_z(path)).len);
}

void twi_guard_note(tw_buf *text, const char *temp, const char *path)
{
    if (text->len == 0)
        add_z(text, HEAD);
    add_name(text, temp);
    add_name(text, path);
}

const char *twi_guard_or_here(const char *folder)
{
    return folder[0] != '\0' ? folder : ".";
}

void twi_guard_flush(const char *folder)
{
    int fd = open(twi_guard_or_here(folder), O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return;
    fsync(fd); /* the names, not only the bytes; a file system that cannot says so and nothing is lost */
    close(fd);
}

bool twi_guard_promise(const twi_guard *guard, const tw_buf *text)
{
    static const char tail[] = TAIL;
    unlink(guard->draft); /* somebody may have put a link to another file there */
    int fd = open(guard->draft, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0)
        return false;
    bool fine =
        twi_guard_write(fd, tw_buf_str(text)) && twi_guard_write(fd, (tw_str){tail, sizeof tail}) && fsync(fd) == 0;
    fine = close(fd) == 0 && fine;
    fine = fine && rename(guard->draft, guard->journal) == 0;
    if (!fine)
        unlink(guard->draft);
    twi_guard_flush(guard->folder);
    return fine;
}

void twi_guard_kept(const twi_guard *guard)
{
    twi_guard_flush(guard->folder);
    unlink(guard->journal);
}

static bool next_z(tw_str *rest, tw_str *out)
{
    const char *end = rest->len > 0 ? memchr(rest->at, '\0', rest->len) : NULL;
    if (end == NULL)
        return false;
    *out = tw_str_cut(*rest, (size_t)(end - rest->at));
    *rest = tw_str_from(*rest, out->len + 1);
    return true;
}

static char *inside(const twi_guard *guard, tw_str name)
{
    return tw_arena_dupz(guard->arena, tw_arena_printf(guard->arena, "%s%.*s", guard->folder, TW_ARG(name)));
}

/* Only names as this module makes them, in this folder. */
static void do_rename(const twi_guard *guard, tw_str temp, tw_str path)
{
    leftover l;
    bool fine = read_leftover(temp, &l) && !l.old && !l.made && tw_str_eq(l.name, cut_name(path));
    if (fine && memchr(temp.at, '/', temp.len) == NULL && memchr(path.at, '/', path.len) == NULL)
        rename(inside(guard, temp), inside(guard, path)); /* fails where it was done before */
}

/* What the journal promised is done. False when there is no whole journal. */
static bool finish_promise(const twi_guard *guard)
{
    tw_str text, why, word, path;
    if (access(guard->journal, F_OK) != 0 ||
        tw_file_read(guard->arena, guard->journal, TW_FILE_LIMIT, &text, &why) != TW_OK)
        return false;
    if (!next_z(&text, &word) || !tw_str_is(word, HEAD))
        return false;
    while (next_z(&text, &word) && !tw_str_is(word, TAIL) && next_z(&text, &path))
        do_rename(guard, word, path);
    return true;
}

/* ---- the folder ------------------------------------------------------------------------------------------ */

static bool has_second_name(const char *path)
{
    struct stat st;
    return lstat(path, &st) == 0 && st.st_nlink > 1;
}

void twi_guard_restore(const char *backup, const char *path)
{
    if (rename(backup, path) == 0 || has_second_name(backup))
        unlink(backup); /* rename leaves both names when they are one file already */
}

/* An old file whose name was too long to be kept whole stays unless it has its own name still. */
static void clear_one(const twi_guard *guard, tw_str entry, bool promised)
{
    leftover l;
    const char *path = inside(guard, entry);
    if (!read_leftover(entry, &l) || l.made || is_at_work(l.pid))
        return;
    if (l.old && !promised && l.name.len < NAME_ROOM)
        twi_guard_restore(path, inside(guard, l.name));
    else if (!l.old || promised || has_second_name(path))
        unlink(path);
}

void twi_guard_clear_made(tw_arena *arena, const char *folder)
{
    const twi_guard guard = {.arena = arena, .folder = folder};
    DIR *dir = opendir(twi_guard_or_here(folder));
    const struct dirent *entry;
    leftover l;
    while (dir != NULL && (entry = readdir(dir)) != NULL)
        if (read_leftover(tw_str_z(entry->d_name), &l) && l.made && !is_at_work(l.pid))
            unlink(inside(&guard, tw_str_z(entry->d_name)));
    if (dir != NULL)
        closedir(dir);
}

static void recover(const twi_guard *guard)
{
    bool promised = finish_promise(guard);
    DIR *dir = opendir(twi_guard_or_here(guard->folder));
    const struct dirent *entry;
    while (dir != NULL && (entry = readdir(dir)) != NULL)
        clear_one(guard, tw_str_z(entry->d_name), promised);
    if (dir != NULL)
        closedir(dir);
    unlink(guard->draft);
    if (promised)
        twi_guard_kept(guard);
}

/* True when the lock is ours and still the file of that name: the run before takes it away when it is done. */
static bool lock_holds(const twi_guard *guard)
{
    struct stat by_name, ours;
    return stat(guard->lock, &by_name) == 0 && fstat(guard->fd, &ours) == 0 && by_name.st_ino == ours.st_ino &&
           by_name.st_dev == ours.st_dev;
}

static tw_status say_busy(const twi_guard *guard, struct flock *other, tw_str *why)
{
    bool known = fcntl(guard->fd, F_GETLK, other) == 0 && other->l_type != F_UNLCK;
    const char *folder = guard->folder[0] != '\0' ? guard->folder : "this folder";
    *why = known ? tw_arena_printf(guard->arena, "another run (process %ld) is writing to %s: wait until it is done",
                                   (long)other->l_pid, folder)
                 : tw_arena_printf(guard->arena, "another run is writing to %s: wait until it is done", folder);
    close(guard->fd);
    return TW_ERR_IO;
}

tw_status twi_guard_take(tw_arena *arena, const char *folder, twi_guard *out, tw_str *why)
{
    *out = (twi_guard){.arena = arena, .folder = folder, .fd = -1};
    out->lock = inside(out, TW_STR(".tallwide.lock"));
    out->journal = inside(out, TW_STR(".tallwide.journal"));
    out->draft = inside(out, TW_STR(".tallwide.draft"));
    for (;;) {
        out->fd = open(out->lock, O_RDWR | O_CREAT | O_CLOEXEC, 0666);
        if (out->fd < 0) {
            *why = tw_arena_printf(arena, "cannot write to %s: %s", folder[0] != '\0' ? folder : "this folder",
                                   strerror(errno));
            return TW_ERR_IO;
        }
        struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
        bool locked = fcntl(out->fd, F_SETLK, &whole) == 0;
        if (!locked && (errno == EACCES || errno == EAGAIN))
            return say_busy(out, &whole, why);
        if (!locked || lock_holds(out)) /* a drive without locks is written to as it is */
            break;
        close(out->fd);
    }
    recover(out);
    return TW_OK;
}

void twi_guard_release(twi_guard *guard)
{
    if (guard->fd < 0)
        return;
    unlink(guard->lock);
    close(guard->fd);
    guard->fd = -1;
}
