/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "arena_text.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define READ_AT_LEAST ((size_t)1 << 16) /* bytes of room for a read where nobody says how many there are */

/* Room for what a file is said to hold and one more, so that its end is seen without asking for more memory. */
static size_t expected(const struct stat *st, size_t limit)
{
    size_t size = S_ISREG(st->st_mode) && st->st_size > 0 ? (size_t)st->st_size : 0;
    return (size < limit ? size : limit) + 1;
}

static tw_status read_all(tw_arena *arena, int fd, const char *name, size_t limit, tw_str *out, tw_str *why)
{
    tw_buf buf = {.arena = arena};
    struct stat st = {.st_size = 0};
    if (fstat(fd, &st) == 0 && S_ISDIR(st.st_mode)) {
        *why = tw_arena_printf(arena, "%s is a folder, not a file", name);
        return TW_ERR_IO;
    }
    for (size_t room = expected(&st, limit);; room = READ_AT_LEAST) {
        if (buf.cap == buf.len)
            buf.at = twi_arena_text(arena, buf.at, buf.len, &buf.cap, room);
        ssize_t n = read(fd, buf.at + buf.len, buf.cap - buf.len);
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
        buf.len += (size_t)n;
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
