/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/base.h - memory, text, numbers and files for every other module.
 *
 * Ownership, for the whole library: whoever passes the arena owns the result. Everything reachable from a result
 * lives in that arena and dies with it; nothing is freed singly. Text is handed about as views (tw_str) into an
 * arena or into the bytes of a file that the caller keeps alive. Once built, results are read only.
 *
 * Memory failure: arena calls never return NULL. When the system has no memory left the arena's out-of-memory
 * handler is called; it must not return (it exits, aborts or jumps).
 */
#ifndef TALLWIDE_BASE_H
#define TALLWIDE_BASE_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What a call that can fail returns. On anything but TW_OK the outputs are untouched and the story is told
 * in the diagnostics list (tallwide/diag.h) that was passed along. */
typedef enum tw_status {
    TW_OK = 0,
    TW_ERR_IO,       /* the system refused a file operation */
    TW_ERR_SYNTAX,   /* the bytes are not of the format they claim */
    TW_ERR_SEMANTIC, /* well formed, but it makes no sense */
    TW_ERR_LIMIT,    /* larger or deeper than the stated bounds */
    TW_ERR_BUG       /* a fault of ours */
} tw_status;

/* Marks a function that takes a printf format as argument f with its values from argument a on. */
#if defined(__GNUC__)
#define TW_PRINTF(f, a) __attribute__((format(printf, f, a)))
#else
#define TW_PRINTF(f, a)
#endif

/* Told how far long work has come: `done` of `all`. Called on the thread that started the work; step NULL: nobody
 * asks. */
typedef struct tw_progress {
    void (*step)(void *context, size_t done, size_t all);
    void *context;
} tw_progress;

/* ---- text views ------------------------------------------------------------------------------------------ */

/* A run of bytes somebody else owns. Not ended by NUL unless a function says so. {NULL, 0} is "no text". */
typedef struct tw_str {
    const char *at;
    size_t len;
} tw_str;

/* The view of a string literal. */
#define TW_STR(literal) ((tw_str){(literal), sizeof(literal) - 1})

/* For printf("%.*s", TW_ARG(s)). */
#define TW_ARG(s) (int)(s).len, (s).at != NULL ? (s).at : ""

/* For printf("%zu clip%s", n, TW_PLURAL(n)). */
#define TW_PLURAL(n) ((n) == 1 ? "" : "s")

/* Small and called everywhere: here, so that a literal's length is known where it stands. */

/* View of a NUL-ended string; NULL gives {NULL, 0}. */
static inline tw_str tw_str_z(const char *z)
{
    const tw_str s = {z, z != NULL ? strlen(z) : 0};
    return s;
}

/* Same bytes? */
static inline bool tw_str_eq(tw_str a, tw_str b)
{
    return a.len == b.len && (a.len == 0 || memcmp(a.at, b.at, a.len) == 0);
}

/* Same bytes as the NUL-ended z? */
static inline bool tw_str_is(tw_str a, const char *z)
{
    return tw_str_eq(a, tw_str_z(z));
}

bool tw_str_ieq(tw_str a, tw_str b);            /* same, ASCII letters in any case */
int tw_str_cmp(tw_str a, tw_str b);             /* byte order, shorter first: <0, 0, >0 */
int tw_str_order(const void *a, const void *b); /* the same of two tw_str, for TW_SORT */
int tw_str_icmp(tw_str a, tw_str b);            /* as tw_str_cmp, ASCII letters as if in lower case */
bool tw_str_starts(tw_str s, tw_str head);      /* does s begin with head? */
bool tw_str_istarts(tw_str s, tw_str head);     /* the same, ASCII letters in any case */
bool tw_str_iends(tw_str s, tw_str end);        /* does s end in it, ASCII letters in any case? */
bool tw_str_holds(tw_str s, tw_str word);       /* does word stand anywhere in s? */
tw_str tw_str_trim(tw_str s);                   /* without blanks and tabs at both ends */

/* In any locale: a digit, 0 to 9? A blank or a tab? */
static inline bool tw_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static inline bool tw_is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* The tail from byte start on; empty when start is past the end. */
static inline tw_str tw_str_from(tw_str s, size_t start)
{
    size_t skip = start < s.len ? start : s.len;
    tw_str tail = {s.at != NULL ? s.at + skip : s.at, s.len - skip};
    return tail;
}

/* The first len bytes, or all of it. */
static inline tw_str tw_str_cut(tw_str s, size_t len)
{
    tw_str head = {s.at, len < s.len ? len : s.len};
    return head;
}

/* Guessing what a mistyped word was meant to be: true when `known` lies within a slip of `typed` and nearer than
 * *least, which then says how near; it begins as TW_NO_SLIP. A slip is other case, one letter too many, too few or
 * wrong, in words of six letters and more two of them (Levenshtein 1966), or an end left out or changed. */
#define TW_NO_SLIP 3
bool tw_str_is_nearer(tw_str typed, tw_str known, size_t *least);

/* Does the whole text match the pattern? '*' stands for any run, '?' for one byte; ASCII case is ignored.
 * Linear in practice, at worst pattern x text. */
bool tw_str_glob(tw_str pattern, tw_str text);
bool tw_str_has_wildcard(tw_str pattern); /* is there a '*' or a '?' in it? */

/* Is s well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing past U+10FFFF)?
 * If not, *bad (may be NULL) is the offset of the first wrong byte. */
bool tw_str_utf8(tw_str s, size_t *bad);

/* Its characters: all bytes but those within one, after its first. */
static inline bool tw_is_within(char c)
{
    return ((unsigned char)c & 0xC0) == 0x80;
}
size_t tw_str_characters(tw_str s);

/* Writes the code point as UTF-8, one to four bytes; returns the end of them. */
char *tw_str_put_utf8(uint32_t c, char *out);

/* The last path component, and the same without its last extension ("a/b.c.mov" -> "b.c.mov", "b.c").
 * Both '/' and '\\' part components, since lists carry paths of other systems. */
tw_str tw_str_basename(tw_str path);
tw_str tw_str_stem(tw_str path);

/* Of a path of this system ('/' alone parts components) what stands before its last component: empty, or with its
 * final '/'. */
tw_str tw_str_folder(tw_str path);

/* 64-bit FNV-1a (RFC 9923) of the bytes: names content in outputs; not a defence against forgery. */
uint64_t tw_str_hash(tw_str s);

/* ---- arena ----------------------------------------------------------------------------------------------- */

typedef struct tw_arena tw_arena;

/* Called when memory runs out, with the size that could not be had. Must not return. */
typedef void (*tw_oom_fn)(void *context, size_t wanted);

/* A new, empty arena. oom NULL: the process is aborted when memory runs out. */
tw_arena *tw_arena_new(tw_oom_fn oom, void *context);

/* A new, empty arena with the handler of another: for scratch that is freed by itself. */
tw_arena *tw_arena_like(const tw_arena *arena);

/* Takes so much memory now that requests for `size` bytes in all, each at most a quarter of it, take none later. */
void tw_arena_reserve(tw_arena *arena, size_t size);

/* Frees the arena with all that was taken from it and sets *arena to NULL. NULL inside is fine. */
void tw_arena_free(tw_arena **arena);

/* Zeroed memory for count things of size bytes, aligned for any type. count * size must not overflow: a product
 * that would is treated as memory run out. A zero size gives a valid pointer. */
void *tw_arena_alloc(tw_arena *arena, size_t count, size_t size);

#define TW_NEW(arena, type) ((type *)tw_arena_alloc((arena), 1, sizeof(type)))
#define TW_NEW_N(arena, type, n) ((type *)tw_arena_alloc((arena), (n), sizeof(type)))

/* A copy of the bytes in the arena, with a NUL after it that the view does not count. */
tw_str tw_arena_dup(tw_arena *arena, tw_str s);

/* The same as a NUL-ended string. */
char *tw_arena_dupz(tw_arena *arena, tw_str s);

/* The same with ASCII letters in lower case. */
tw_str tw_arena_lower(tw_arena *arena, tw_str s);

/* Text made by printf rules, NUL-ended like tw_arena_dup. Never pass a floating-point value with %f, %g or %e:
 * they follow the locale; use tw_buf_add_double. */
tw_str tw_arena_printf(tw_arena *arena, const char *format, ...) TW_PRINTF(2, 3);

/* Sixteen hexadecimal digits, as tw_num_hex reads them: how files name a hash. */
tw_str tw_arena_hex(tw_arena *arena, uint64_t value);

/* Room for one more element: returns `at`, or a larger copy of it, and updates *cap.
 * `at` NULL and *cap not 0: room for that many to begin with. It enlarges arrays of its own making only. */
void *tw_arena_grow(tw_arena *arena, void *at, size_t len, size_t *cap, size_t size);

/* One more element at the end of such an array: TW_PUSH(arena, v->at, v->len, v->cap) = element;
 * The element must not be made from the array or its length: C does not say which side is looked at first. */
#define TW_PUSH(arena, at, len, cap)                                                                                   \
    (*((at) = tw_arena_grow((arena), (void *)(at), (len), &(cap), sizeof *(at)), (at) + (len)++))

/* Moves all that `from` holds into `arena` and frees what is left of it: how threads hand in their results. */
void tw_arena_adopt(tw_arena *arena, tw_arena **from);

/* Bytes the arena has asked of the system and still holds. */
size_t tw_arena_held(const tw_arena *arena);

/* ---- arrays ---------------------------------------------------------------------------------------------- */

/* Elements of an array whose size the compiler knows. */
#define TW_COUNT(array) (sizeof(array) / sizeof *(array))

/* The order of two numbers, or of two pointers into one array: -1, 0, 1. */
#define TW_CMP(a, b) (((a) > (b)) - ((a) < (b)))

/* By one thing and, where that is alike, by the next. */
static inline int tw_then(int first, int next)
{
    return first != 0 ? first : next;
}

/* qsort, which does not take NULL, for arrays that may be empty. */
#define TW_SORT(at, count, by) tw_sort((void *)(at), (count), sizeof *(at), (by))
static inline void tw_sort(void *at, size_t count, size_t size, int (*by)(const void *a, const void *b))
{
    if (count > 1)
        qsort(at, count, size, by);
}

/* Binary search of a sorted array: `i` becomes the first index for which `before`, an expression in `i` that holds for
 * a first stretch of the `count` elements and for no others, does not hold; `count` where it holds for all. */
#define TW_SEARCH(i, count, before)                                                                                    \
    do {                                                                                                               \
        size_t low_ = 0, high_ = (count);                                                                              \
        while (low_ < high_) {                                                                                         \
            (i) = low_ + (high_ - low_) / 2;                                                                           \
            if (before)                                                                                                \
                low_ = (i) + 1;                                                                                        \
            else                                                                                                       \
                high_ = (i);                                                                                           \
        }                                                                                                              \
        (i) = low_;                                                                                                    \
    } while (0)

/* ---- growing text ---------------------------------------------------------------------------------------- */

/* Bytes that grow at the end. Start with {.arena = a}; `at` is not NUL-ended. */
typedef struct tw_buf {
    tw_arena *arena;
    char *at;
    size_t len, cap;
} tw_buf;

void tw_buf_add(tw_buf *buf, tw_str s);
static inline void tw_buf_addz(tw_buf *buf, const char *z)
{
    tw_buf_add(buf, tw_str_z(z));
}
static inline void tw_buf_addc(tw_buf *buf, char c)
{
    const tw_str one = {&c, 1};
    if (buf->len < buf->cap)
        buf->at[buf->len++] = c;
    else
        tw_buf_add(buf, one);
}
void tw_buf_fill(tw_buf *buf, char c, size_t times);

/* s as part of one line for people: control characters (Unicode C0, DEL and C1), which would end the line or be orders
 * to a terminal, become blanks. */
void tw_buf_add_shown(tw_buf *buf, tw_str s);
void tw_buf_addf(tw_buf *buf, const char *format, ...) TW_PRINTF(2, 3); /* no %f, %g, %e: see above */
void tw_buf_addv(tw_buf *buf, const char *format, va_list values);
void tw_buf_add_int(tw_buf *buf, int64_t value);

/* The shortest text that reads back as the same double, always with '.', always with a point or an exponent
 * ("24.0", "0.1", "23.976023976023978", "1e30"); "NaN", "Infinity", "-Infinity" for those. Any locale. */
void tw_buf_add_double(tw_buf *buf, double value);

/* value rounded to `places` (0..9) decimals, half away from zero, always that many ("0.50"); never "-0.00". From
 * 2^53 * 10^-places on, where a double has no such decimals, as tw_buf_add_double. */
void tw_buf_add_fixed(tw_buf *buf, double value, int places);

tw_str tw_buf_str(const tw_buf *buf);

/* ---- work shared by threads ------------------------------------------------------------------------------ */

/* A piece of work. What it leaves in the arena, its thread's own, is kept; `here`: it runs on the calling thread. */
typedef void (*tw_piece_fn)(void *context, tw_arena *arena, size_t index, bool here);

/* Does pieces 0 .. count - 1, each once, on up to `threads` threads (at most 64, the calling one among them), and
 * returns when all are done; then all they left is in `arena`. Where no more threads can be had fewer do the same. */
void tw_work(tw_arena *arena, size_t count, unsigned threads, tw_piece_fn fn, void *context);

/* ---- numbers --------------------------------------------------------------------------------------------- */

/* Decimal digits with an optional sign, the whole of s, within int64: true and *out set; else false. */
bool tw_num_int(tw_str s, int64_t *out);

/* One to sixteen hexadecimal digits in any case, the whole of s: true and *out set; else false. */
bool tw_num_hex(tw_str s, uint64_t *out);

/* A decimal number ("12", "-0.5", "1e3"), the whole of s, in any locale: true and *out set (correctly rounded;
 * too large gives false); else false. */
bool tw_num_double(tw_str s, double *out);

/* The smaller and the larger of two numbers; b where they are equal or a is not a number. fmin and fmax without the
 * call, for numbers, and with the same zero everywhere. */
static inline double tw_min(double a, double b)
{
    return a < b ? a : b;
}

static inline double tw_max(double a, double b)
{
    return a > b ? a : b;
}

/* The number nearest to v from least to most. */
static inline double tw_clamp(double v, double least, double most)
{
    return v < least ? least : v > most ? most : v;
}

/* value rounded to a multiple of 10^-places, half away from zero. */
double tw_num_round(double value, int places);

/* ---- files ----------------------------------------------------------------------------------------------- */

#define TW_FILE_LIMIT ((size_t)1 << 30) /* bytes a reader accepts: 1 GiB */

/* Reads a whole file ("-": standard input) into the arena. On failure *why is a sentence and the status is
 * TW_ERR_IO, or TW_ERR_LIMIT past `limit` bytes. */
tw_status tw_file_read(tw_arena *arena, const char *path, size_t limit, tw_str *out, tw_str *why);

/* A set of files that appear together or not at all. Files are written to temporaries in the target folder,
 * flushed to disk, and renamed only by tw_fileset_commit. */
typedef struct tw_fileset tw_fileset;

tw_fileset *tw_fileset_new(tw_arena *arena);

/* Adds a file to the set; nothing touches the disk yet. The bytes must live until commit. */
void tw_fileset_add(tw_fileset *set, const char *path, tw_str bytes);

/* Names a file that must never be written to (an input): commit fails if an added path is the same file. */
void tw_fileset_protect(tw_fileset *set, const char *path);

/* Begins a set in a folder ("": the current one): makes it where there is none, to go again when the set comes to
 * nothing, and keeps other runs out of it until commit or drop. Until then the calling thread also holds SIGINT,
 * SIGTERM and SIGHUP back; when one has come, stage and commit fail. After a failure a set can only be dropped.
 * What a killed commit has begun the next set in the folder brings to an end, or there is no trace of it. Only the last
 * file of a set may lie in another folder; of a killed commit it is the old one until all others are the new ones. */
tw_status tw_fileset_begin(tw_fileset *set, const char *folder, tw_str *why);

/* Adds a file to a set that has begun and writes its temporary at once, so that the bytes need not be kept. Several
 * threads may stage at once, and one may drop the set meanwhile, as long as the set's arena is its own. */
tw_status tw_fileset_stage(tw_fileset *set, const char *path, tw_str bytes, tw_str *why);

/* Adds a file that somebody else writes, such as a program, under *hidden: a name beside it, with its ending. By commit
 * it must be there whole; it then appears with the others, and goes when the set is dropped. Refused where commit would
 * have to: what takes hours to make is not begun. What a killed run has left is taken away by the next that makes room
 * in the folder, and so is *hidden with one more ending behind it; all room of a process in a folder is made by one set
 * before anything is written there. */
tw_status tw_fileset_room(tw_fileset *set, const char *path, const char **hidden, tw_str *why);

/* Has one of the held signals come? */
bool tw_fileset_interrupted(void);

/* Takes away what has been staged and lets held signals through. Takes no memory: an out-of-memory handler may call it.
 * Nothing happens to a set that was committed or dropped, or to NULL. */
void tw_fileset_drop(tw_fileset *set);

/* Writes what is not staged, then renames all. Links stay links, and a file keeps its mode; a file that may not be
 * written to is not replaced. One file alone may be a pipe, a device or a link into another folder. On failure every
 * temporary is removed, files already renamed are put back as they were, *why is a sentence naming the file, and the
 * status is TW_ERR_IO (TW_ERR_SEMANTIC for a protected path). */
tw_status tw_fileset_commit(tw_fileset *set, tw_str *why);

#ifdef __cplusplus
}
#endif
#endif
