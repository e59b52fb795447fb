/* SPDX-License-Identifier: Apache-2.0
 *
 * A child process whose output is read and whose input is written, with what it says of errors kept.
 */
#ifndef TW_MEDIA_CHILD_H
#define TW_MEDIA_CHILD_H

#include <tallwide/media.h>

typedef struct twi_child twi_child;

/* Arguments; the first is the program. Texts are the arena's. */
typedef struct twi_args {
    tw_arena *arena;
    char **at; /* ended by NULL */
    size_t len, cap;
} twi_args;
void twi_args_add(twi_args *args, const char *word);
void twi_args_addf(twi_args *args, const char *format, ...) TW_PRINTF(2, 3);
void twi_args_seconds(twi_args *args, const char *option, double seconds);
void twi_args_list(twi_args *args, const char *const *words); /* ended by NULL */

/* Called for every line the child says on standard error, without its end. */
typedef void (*twi_line_fn)(void *context, tw_str line);

typedef struct twi_child_ask {
    const twi_args *args;
    bool feeds; /* its standard input is written by us; else it is empty */
    twi_line_fn line;
    void *context;
    const volatile sig_atomic_t *stop;
} twi_child_ask;

/* Why a call failed. */
typedef enum twi_child_fault {
    TWI_CHILD_FINE,
    TWI_CHILD_ABSENT,   /* no such program */
    TWI_CHILD_SYSTEM,   /* the system refused */
    TWI_CHILD_FAILED,   /* it ended with an error of its own */
    TWI_CHILD_TOO_MUCH, /* it told more than is read */
    TWI_CHILD_STOPPED,  /* somebody asked to stop */
} twi_child_fault;

/* The child's memory is its own, freed by twi_child_end. */
twi_child_fault twi_child_start(tw_arena *arena, const twi_child_ask *ask, twi_child **out);

/* Reads exactly len bytes, or fewer (*got) when the child has closed its output. */
twi_child_fault twi_child_read(twi_child *child, void *at, size_t len, size_t *got);

/* Writes all. What the child prints meanwhile must be little: only its errors are read. */
twi_child_fault twi_child_write(twi_child *child, const void *at, size_t len);

/* Takes in what it has said so far, without waiting. */
void twi_child_listen(twi_child *child);

/* Closes its input, waits for it to end by itself, throwing away what it prints. */
twi_child_fault twi_child_finish(twi_child *child);

/* Closes its input, appends all it prints and waits for its end. More than `limit` bytes are TWI_CHILD_TOO_MUCH; with a
 * limit of 0 nothing is kept, and nothing is too much. */
twi_child_fault twi_child_collect(twi_child *child, size_t limit, tw_buf *out);

/* The first line that tells of an error, else the last line; empty when it said nothing. */
tw_str twi_child_said(const twi_child *child);

/* Kills it if it still runs, takes its exit, frees everything. */
void twi_child_end(twi_child **child);

/* The finding for a fault, unless it was asked for: `code` and "FILE: what", followed by what the child said. */
tw_status twi_child_tell(twi_child_fault fault, const twi_child *child, const char *program, int code, tw_str file,
                         const char *what, tw_diags *diags);

#endif
