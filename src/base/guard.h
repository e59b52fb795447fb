/* SPDX-License-Identifier: Apache-2.0
 *
 * What keeps a set of files whole when runs meet or die: a lock per folder, a journal of what is about to be renamed,
 * and the clearing of what a killed run left. All names live in the target folder and begin with a dot.
 */
#ifndef TW_BASE_GUARD_H
#define TW_BASE_GUARD_H

#include <tallwide/base.h>

typedef struct twi_guard {
    tw_arena *arena;
    const char *folder;                 /* with its final '/', or empty */
    const char *lock, *journal, *draft; /* paths */
    int fd;                             /* of the lock; -1 when the drive knows no locks */
} twi_guard;

/* A name beside `path` for file number `index` of a set of this process: folder/.NAME.INDEX.KIND.PID, NAME cut to what
 * file systems take. */
char *twi_guard_beside(tw_arena *arena, const char *path, size_t index, const char *kind);

/* Locks the folder against other runs, then brings to an end what a killed one left: renames its journal promised are
 * done, without a journal old files go back where they were (a run was killed while it undid what it could not bring to
 * an end), and temporaries go. */
tw_status twi_guard_take(tw_arena *arena, const char *folder, twi_guard *out, tw_str *why);

/* Takes away what others were making (kind "made") for runs that are no more, among them one with the number of this
 * process, which must not have begun yet. */
void twi_guard_clear_made(tw_arena *arena, const char *folder);

/* The text of a journal: temporaries and the names they will get, by turns. */
void twi_guard_note(tw_buf *text, const char *temp, const char *path);

/* Puts the journal on disk: from here on a killed run counts as done. */
bool twi_guard_promise(const twi_guard *guard, const tw_buf *text);

/* Takes the journal away; lets the folder go. */
void twi_guard_kept(const twi_guard *guard);
void twi_guard_release(twi_guard *guard);

/* The folder, or "." for one without a name; its names are put on disk. */
const char *twi_guard_or_here(const char *folder);
void twi_guard_flush(const char *folder);

/* The old file goes back under its name; where that cannot be, it stays where it is. */
void twi_guard_restore(const char *backup, const char *path);

/* All bytes, whatever write takes at a time. */
bool twi_guard_write(int fd, tw_str bytes);

#endif
