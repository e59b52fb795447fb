/* SPDX-License-Identifier: Apache-2.0 */
#define _GNU_SOURCE /* pipe2: without it a child started by another thread could inherit an end and keep it open */
#include "media/child.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

#define LINE_ROOM 1000    /* bytes of a line kept */
#define PIPE_ROOM 1048576 /* asked for, so that a whole small picture fits; the system may give less */
#define STOP_LOOK 100     /* milliseconds between looks at `stop` */

struct twi_child {
    tw_arena *arena;
    pid_t pid; /* 0 once its exit is taken */
    int status;
    int in, out, err; /* our ends; -1 when closed */
    twi_line_fn line_fn;
    void *context;
    const volatile sig_atomic_t *stop;
    char line[LINE_ROOM], said[LINE_ROOM];
    size_t line_len, said_len;
    bool said_error;
};

/* ---- arguments ------------------------------------------------------------------------------------------- */

static void push(twi_args *args, char *word)
{
    TW_PUSH(args->arena, args->at, args->len, args->cap) = word;
}

void twi_args_add(twi_args *args, const char *word)
{
    push(args, tw_arena_dupz(args->arena, tw_str_z(word)));
    push(args, NULL);
    args->len--;
}

void twi_args_addf(twi_args *args, const char *format, ...)
{
    tw_buf word = {.arena = args->arena};
    va_list values;
    va_start(values, format);
    tw_buf_addv(&word, format, values);
    va_end(values);
    tw_buf_addc(&word, '\0');
    twi_args_add(args, word.at);
}

void twi_args_seconds(twi_args *args, const char *option, double seconds)
{
    tw_buf text = {.arena = args->arena};
    tw_buf_add_fixed(&text, seconds, 6);
    twi_args_add(args, option);
    twi_args_addf(args, "%.*s", TW_ARG(tw_buf_str(&text)));
}

void twi_args_list(twi_args *args, const char *const *words)
{
    for (; *words != NULL; words++)
        twi_args_add(args, *words);
}

/* ---- starting -------------------------------------------------------------------------------------------- */

static void shut(int *fd)
{
    if (*fd >= 0)
        close(*fd);
    *fd = -1;
}

/* Standard streams may be closed in this process: an end that took their number would be lost in the child. */
static bool lift(int *fd)
{
    if (*fd > STDERR_FILENO)
        return true;
    int higher = fcntl(*fd, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
    close(*fd);
    *fd = higher;
    return higher >= 0;
}

typedef struct ends {
    int in[2], out[2], err[2]; /* [0] ours, [1] the child's */
} ends;

static void shut_all(ends *e)
{
    for (int i = 0; i < 2; i++) {
        shut(&e->in[i]);
        shut(&e->out[i]);
        shut(&e->err[i]);
    }
}

static bool make_ends(const twi_child_ask *ask, ends *e)
{
    *e = (ends){{-1, -1}, {-1, -1}, {-1, -1}};
    /* Input goes through a socket: writing to one whose reader is gone can be had without a signal. */
    bool fine = pipe2(e->out, O_CLOEXEC) == 0 && pipe2(e->err, O_CLOEXEC) == 0 &&
                (!ask->feeds || socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, e->in) == 0);
    for (int i = 0; i < 2 && fine; i++)
        fine = lift(&e->out[i]) && lift(&e->err[i]) && (!ask->feeds || lift(&e->in[i]));
    fine = fine && fcntl(e->out[0], F_SETFL, O_NONBLOCK) == 0 && fcntl(e->err[0], F_SETFL, O_NONBLOCK) == 0;
    if (!fine)
        shut_all(e);
#ifdef F_SETPIPE_SZ
    else
        (void)fcntl(e->out[0], F_SETPIPE_SZ, PIPE_ROOM);
#endif
    return fine;
}

/* A group of its own, so that Ctrl-C reaches this process alone, which then ends its children in order; signals as a
 * new process has them. */
static bool set_attributes(posix_spawnattr_t *attr)
{
    sigset_t none, plain;
    sigemptyset(&none);
    sigemptyset(&plain);
    sigaddset(&plain, SIGPIPE);
    sigaddset(&plain, SIGINT);
    sigaddset(&plain, SIGTERM);
    sigaddset(&plain, SIGHUP);
    return posix_spawnattr_setpgroup(attr, 0) == 0 && posix_spawnattr_setsigmask(attr, &none) == 0 &&
           posix_spawnattr_setsigdefault(attr, &plain) == 0 &&
           posix_spawnattr_setflags(attr, POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF) == 0;
}

static bool set_actions(posix_spawn_file_actions_t *actions, const twi_child_ask *ask, const ends *e)
{
    bool in = ask->feeds ? posix_spawn_file_actions_adddup2(actions, e->in[1], STDIN_FILENO) == 0
                         : posix_spawn_file_actions_addopen(actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0) == 0;
    return in && posix_spawn_file_actions_adddup2(actions, e->out[1], STDOUT_FILENO) == 0 &&
           posix_spawn_file_actions_adddup2(actions, e->err[1], STDERR_FILENO) == 0;
}

static int spawn(const twi_child_ask *ask, const ends *e, pid_t *pid)
{
    posix_spawn_file_actions_t actions;
    posix_spawnattr_t attr;
    if (posix_spawn_file_actions_init(&actions) != 0)
        return ENOMEM;
    if (posix_spawnattr_init(&attr) != 0) {
        posix_spawn_file_actions_destroy(&actions);
        return ENOMEM;
    }
    int number = ENOMEM;
    if (set_actions(&actions, ask, e) && set_attributes(&attr))
        number = posix_spawnp(pid, ask->args->at[0], &actions, &attr, ask->args->at, environ);
    posix_spawnattr_destroy(&attr);
    posix_spawn_file_actions_destroy(&actions);
    return number;
}

twi_child_fault twi_child_start(tw_arena *arena, const twi_child_ask *ask, twi_child **out)
{
    ends e;
    if (!make_ends(ask, &e))
        return TWI_CHILD_SYSTEM;
    pid_t pid = 0;
    int number = spawn(ask, &e, &pid);
    shut(&e.in[1]);
    shut(&e.out[1]);
    shut(&e.err[1]);
    if (number != 0) {
        shut_all(&e);
        errno = number; /* what TWI_CHILD_SYSTEM is told by; posix_spawnp returns it alone */
        return number == ENOENT || number == EACCES || number == ENOTDIR || number == ENOEXEC ? TWI_CHILD_ABSENT
                                                                                              : TWI_CHILD_SYSTEM;
    }
    tw_arena *own = tw_arena_like(arena);
    twi_child *child = TW_NEW(own, twi_child);
    child->arena = own;
    child->pid = pid;
    child->in = e.in[0];
    child->out = e.out[0];
    child->err = e.err[0];
    child->line_fn = ask->line;
    child->context = ask->context;
    child->stop = ask->stop;
    *out = child;
    return TWI_CHILD_FINE;
}

/* ---- what it says ---------------------------------------------------------------------------------------- */

/* Of several errors the first tells the cause; the last ones tell what came of it. */
static void end_line(twi_child *child)
{
    tw_str line = {child->line, child->line_len};
    bool error = tw_str_holds(line, TW_STR("[error]")) || tw_str_holds(line, TW_STR("[fatal]"));
    if (line.len > 0 && !child->said_error) {
        memcpy(child->said, line.at, line.len);
        child->said_len = line.len;
        child->said_error = error;
    }
    if (child->line_fn != NULL)
        child->line_fn(child->context, line);
    child->line_len = 0;
}

void twi_child_listen(twi_child *child)
{
    char chunk[4096];
    while (child->err >= 0) {
        ssize_t n = read(child->err, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0 && (errno == EAGAIN || errno == EWOULDBLOCK))
            return;
        if (n <= 0) {
            if (child->line_len > 0)
                end_line(child);
            shut(&child->err);
            return;
        }
        for (ssize_t i = 0; i < n; i++) {
            if (chunk[i] == '\n' || chunk[i] == '\r')
                end_line(child);
            else if (child->line_len < LINE_ROOM)
                child->line[child->line_len++] = chunk[i];
        }
    }
}

tw_str twi_child_said(const twi_child *child)
{
    return (tw_str){child->said, child->said_len};
}

/* ---- reading and writing --------------------------------------------------------------------------------- */

/* Waits until the end may be used, taking in errors on the way. False: asked to stop. */
static bool wait_for(twi_child *child, int fd, short what)
{
    for (;;) {
        if (child->stop != NULL && *child->stop != 0)
            return false;
        struct pollfd at[2] = {{fd, what, 0}, {child->err, POLLIN, 0}};
        if (fd < 0 && child->err < 0)
            return true;
        int ready = poll(at, 2, child->stop != NULL ? STOP_LOOK : -1);
        if (ready > 0 && at[1].revents != 0)
            twi_child_listen(child);
        if (ready > 0 && at[0].revents != 0)
            return true;
        if (fd < 0 && child->err < 0)
            return true;
    }
}

twi_child_fault twi_child_read(twi_child *child, void *at, size_t len, size_t *got)
{
    for (*got = 0; *got < len && child->out >= 0;) {
        ssize_t n = read(child->out, (char *)at + *got, len - *got);
        if (n > 0)
            *got += (size_t)n;
        else if (n == 0)
            shut(&child->out);
        else if (errno == EAGAIN || errno == EWOULDBLOCK) {
            if (!wait_for(child, child->out, POLLIN))
                return TWI_CHILD_STOPPED;
        } else if (errno != EINTR)
            return TWI_CHILD_SYSTEM;
        if (child->stop != NULL && *child->stop != 0)
            return TWI_CHILD_STOPPED;
    }
    return TWI_CHILD_FINE;
}

twi_child_fault twi_child_write(twi_child *child, const void *at, size_t len)
{
    for (size_t done = 0; done < len;) {
        ssize_t n = send(child->in, (const char *)at + done, len - done, MSG_NOSIGNAL | MSG_DONTWAIT);
        if (n >= 0)
            done += (size_t)n;
        else if (errno == EAGAIN || errno == EWOULDBLOCK) {
            if (!wait_for(child, child->in, POLLOUT))
                return TWI_CHILD_STOPPED;
        } else if (errno != EINTR)
            return errno == EPIPE || errno == ECONNRESET ? TWI_CHILD_FAILED : TWI_CHILD_SYSTEM;
        if (child->stop != NULL && *child->stop != 0)
            return TWI_CHILD_STOPPED;
    }
    return TWI_CHILD_FINE;
}

/* ---- ending ---------------------------------------------------------------------------------------------- */

static void take_exit(twi_child *child)
{
    if (child->pid == 0)
        return;
    pid_t got;
    do
        got = waitpid(child->pid, &child->status, 0);
    while (got < 0 && errno == EINTR);
    if (got < 0)
        child->status = 0; /* a program that ignores SIGCHLD never learns it */
    child->pid = 0;
}

twi_child_fault twi_child_collect(twi_child *child, size_t limit, tw_buf *out)
{
    char chunk[16384];
    size_t got;
    bool whole = true;
    shut(&child->in); /* a program that reads to the end would wait for more */
    do {
        twi_child_fault fault = twi_child_read(child, chunk, sizeof chunk, &got);
        if (fault != TWI_CHILD_FINE)
            return fault;
        whole = whole && out->len + got <= limit;
        if (whole)
            tw_buf_add(out, (tw_str){chunk, got});
    } while (got == sizeof chunk);
    while (child->err >= 0)
        if (!wait_for(child, -1, 0))
            return TWI_CHILD_STOPPED;
    take_exit(child);
    if (!WIFEXITED(child->status) || WEXITSTATUS(child->status) != 0)
        return TWI_CHILD_FAILED;
    return whole || limit == 0 ? TWI_CHILD_FINE : TWI_CHILD_TOO_MUCH;
}

twi_child_fault twi_child_finish(twi_child *child)
{
    tw_buf nothing = {.arena = child->arena};
    return twi_child_collect(child, 0, &nothing);
}

void twi_child_end(twi_child **at)
{
    twi_child *child = *at;
    *at = NULL;
    if (child == NULL)
        return;
    if (child->pid != 0)
        kill(-child->pid, SIGKILL);
    take_exit(child);
    shut(&child->in);
    shut(&child->out);
    shut(&child->err);
    tw_arena *own = child->arena;
    tw_arena_free(&own);
}

/* Without the name of the part that speaks and its address, which mean nothing to people and differ from run to run,
 * and without the file's name, which the finding has. */
static tw_str spoken(tw_str line, tw_str file)
{
    while (line.len > 0 && line.at[0] == '[') {
        size_t end = 0;
        while (end < line.len && line.at[end] != ']')
            end++;
        line = tw_str_trim(tw_str_from(line, end + 1));
    }
    tw_str scheme = TW_STR("file:");
    tw_str rest = tw_str_from(line, tw_str_starts(line, scheme) ? scheme.len : 0);
    if (file.len > 0 && tw_str_starts(rest, file) && tw_str_starts(tw_str_from(rest, file.len), TW_STR(": ")))
        line = tw_str_from(rest, file.len + 2);
    return line;
}

tw_status twi_child_tell(twi_child_fault fault, const twi_child *child, const char *program, int code, tw_str file,
                         const char *what, tw_diags *diags)
{
    tw_str said = child != NULL ? spoken(twi_child_said(child), file) : (tw_str){NULL, 0};
    if (fault == TWI_CHILD_FINE)
        return TW_OK;
    if (fault == TWI_CHILD_ABSENT)
        tw_diag_add(diags, 2101, NULL, "the program %s cannot be run: it is needed to look into camera files", program);
    else if (fault == TWI_CHILD_FAILED)
        tw_diag_add(diags, code, TW_IN(file), "%s%s%.*s", what, said.len > 0 ? ": " : "", TW_ARG(said));
    else if (fault == TWI_CHILD_TOO_MUCH)
        tw_diag_add(diags, code, TW_IN(file), "%s: %s tells more of it than is read", what, program);
    else if (fault == TWI_CHILD_SYSTEM)
        tw_diag_add(diags, code, TW_IN(file), "%s: %s cannot be talked to: %s", what, program, strerror(errno));
    return TW_ERR_IO;
}
