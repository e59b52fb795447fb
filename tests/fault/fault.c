/* SPDX-License-Identifier: Apache-2.0
 *
 * A library to preload: the n-th call of one function fails. TW_FAULT is "malloc:7", "write:3", "fsync:1", "rename:2",
 * "link:1", "read:2"; "kill:3" ends the process before the third call that changes a file or folder; "short:1" lets every read and write take few bytes at a time. When the call was reached, the file
 * named by TW_FAULT_HIT is made. Linux with glibc only.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static long calls;

/* Is this the call that fails? No memory may be taken here. */
static int strikes(const char *name)
{
    const char *fault = getenv("TW_FAULT");
    size_t n = strlen(name);
    if (fault == NULL || strncmp(fault, name, n) != 0 || fault[n] != ':' || ++calls != atol(fault + n + 1))
        return 0;
    const char *hit = getenv("TW_FAULT_HIT");
    int fd = hit != NULL ? open(hit, O_WRONLY | O_CREAT, 0666) : -1;
    if (fd >= 0)
        close(fd);
    return 1;
}

static void maybe_killed(void)
{
    if (strikes("kill"))
        raise(SIGKILL);
}

typedef ssize_t (*write_fn)(int fd, const void *bytes, size_t size);
typedef ssize_t (*read_fn)(int fd, void *bytes, size_t size);
typedef int (*fsync_fn)(int fd);
typedef int (*names_fn)(const char *from, const char *to);
typedef int (*name_fn)(const char *path);

/* dlsym gives an object pointer: copied, since ISO C has no cast between the two. */
#define NEXT(type, name)                                                                                               \
    type next;                                                                                                         \
    void *found = dlsym(RTLD_NEXT, name);                                                                              \
    memcpy(&next, &found, sizeof next)

static int is_short(void)
{
    const char *fault = getenv("TW_FAULT");
    return fault != NULL && strncmp(fault, "short:", 6) == 0;
}

void *malloc(size_t size)
{
    if (!strikes("malloc"))
        return __libc_malloc(size);
    errno = ENOMEM;
    return NULL;
}

void *calloc(size_t count, size_t size)
{
    if (!strikes("malloc"))
        return __libc_calloc(count, size);
    errno = ENOMEM;
    return NULL;
}

void *realloc(void *old, size_t size)
{
    if (!strikes("malloc"))
        return __libc_realloc(old, size);
    errno = ENOMEM;
    return NULL;
}

ssize_t write(int fd, const void *bytes, size_t size)
{
    NEXT(write_fn, "write");
    if (fd > 2)
        maybe_killed();
    if (fd > 2 && strikes("write")) {
        errno = ENOSPC;
        return -1;
    }
    return next(fd, bytes, is_short() && size > 1000 ? 1000 : size);
}

ssize_t read(int fd, void *bytes, size_t size)
{
    NEXT(read_fn, "read");
    if (strikes("read")) {
        errno = EIO;
        return -1;
    }
    return next(fd, bytes, is_short() && size > 7 ? 7 : size);
}

int fsync(int fd)
{
    NEXT(fsync_fn, "fsync");
    maybe_killed();
    if (strikes("fsync")) {
        errno = EIO;
        return -1;
    }
    return next(fd);
}

int rename(const char *from, const char *to)
{
    NEXT(names_fn, "rename");
    maybe_killed();
    if (strikes("rename")) {
        errno = EIO;
        return -1;
    }
    return next(from, to);
}

int link(const char *from, const char *to)
{
    NEXT(names_fn, "link");
    maybe_killed();
    if (strikes("link")) {
        errno = EPERM;
        return -1;
    }
    return next(from, to);
}

int unlink(const char *path)
{
    NEXT(name_fn, "unlink");
    maybe_killed();
    return next(path);
}
