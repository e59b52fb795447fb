/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/rtime.h - exact time: rates, moments, ranges and SMPTE ST 12-1 time code.
 *
 * A rate is a reduced fraction of frames per second; a moment is a reduced fraction of seconds. Intermediates are
 * 128 bits wide, so nothing rounds or overflows for |seconds| < 2^40 at any rate this module accepts.
 */
#ifndef TALLWIDE_RTIME_H
#define TALLWIDE_RTIME_H

#include <tallwide/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- rates ----------------------------------------------------------------------------------------------- */

/* Frames per second, num/den, reduced, both positive. {0, 0} means "not known". */
typedef struct tw_rate {
    int32_t num, den;
} tw_rate;

bool tw_rate_known(tw_rate rate);
bool tw_rate_eq(tw_rate a, tw_rate b);
int tw_rate_cmp(tw_rate a, tw_rate b);
double tw_rate_fps(tw_rate rate);

/* Whole frames that time code counts in a second: 24 for 24000/1001, 30 for 30000/1001. */
int32_t tw_rate_count(tw_rate rate);

/* Can this rate carry drop-frame time code? Only 30000/1001 and 60000/1001 (ST 12-1). */
bool tw_rate_can_drop(tw_rate rate);

/* "24", "25/1", "30000/1001", "29.97", "23.976", "29.97df", "59.94ndf": any case. *drop is set true only by "df".
 * False when it is no rate between 1 and 1000, or asks for drop frame where there is none. */
bool tw_rate_read(tw_str s, tw_rate *rate, bool *drop);

/* Appends "24000/1001" or "24/1" (the form of machine output). */
void tw_rate_write(tw_rate rate, tw_buf *out);

/* Appends what a person says: "23.976", "25", "29.97 drop frame". */
void tw_rate_write_spoken(tw_rate rate, bool drop, tw_buf *out);

/* The rate a double in a file means: a known rate (24000/1001, 24, 25, 30000/1001, 30, 48000/1001, 48, 50, 60000/1001,
 * 60) within 0.005 (so 23.98, 29.97, 59.94 snap), else a whole number, else a fraction over 1001, else that of at most
 * 1001 parts that is the very double, else one over 1000.
 * False when it is not a finite positive number below 1e6. *exact (may be NULL): the double is that rate's own. */
bool tw_rate_snap(double fps, tw_rate *rate, bool *exact);

/* ---- moments --------------------------------------------------------------------------------------------- */

/* Seconds, num/den, reduced, den > 0. A zeroed struct is not valid: use TW_TIME_ZERO. */
typedef struct tw_time {
    int64_t num, den;
} tw_time;

#define TW_TIME_ZERO ((tw_time){0, 1})

tw_time tw_time_make(int64_t num, int64_t den);       /* den != 0 */
tw_time tw_time_frames(int64_t frames, tw_rate rate); /* the start of that frame */
tw_time tw_time_add(tw_time a, tw_time b);
tw_time tw_time_sub(tw_time a, tw_time b);
tw_time tw_time_mul(tw_time a, int64_t num, int64_t den); /* a * num / den */
int tw_time_cmp(tw_time a, tw_time b);
bool tw_time_eq(tw_time a, tw_time b);
double tw_time_seconds(tw_time t);

/* The frame that holds the moment (floor). */
int64_t tw_time_floor(tw_time t, tw_rate rate);

/* The frame nearest to the moment, half up. *exact (may be NULL): it starts exactly there. */
int64_t tw_time_round(tw_time t, tw_rate rate, bool *exact);

/* A double count of frames as read from a file: snapped to the whole frame when within 1e-3 of one (*whole true),
 * else to the nearest thousandth of a frame (*whole false; whole may be NULL). False when not finite or past +-2^40. */
bool tw_time_snap(double frames, tw_rate rate, tw_time *out, bool *whole);

/* ---- ranges ---------------------------------------------------------------------------------------------- */

/* [start, start + dur): half open. */
typedef struct tw_range {
    tw_time start, dur;
} tw_range;

tw_time tw_range_end(tw_range r);
tw_range tw_range_of(tw_time start, tw_time end); /* end before start gives a negative length */
tw_range tw_range_cut(tw_range a, tw_range b);    /* the common part; length zero when there is none */

/* ---- time code ------------------------------------------------------------------------------------------- */

typedef enum tw_tc_fault {
    TW_TC_FINE = 0,
    TW_TC_FORM,      /* not HH:MM:SS:FF */
    TW_TC_SEPARATOR, /* '.' or ',' or mixed separators */
    TW_TC_MINUTE,    /* minute or second above 59 */
    TW_TC_HOUR,      /* hour above 23 */
    TW_TC_FRAME,     /* frame number not below the count */
    TW_TC_DROPPED    /* a label that drop-frame counting skips */
} tw_tc_fault;

/* The four numbers of a label, unchecked against any rate. */
typedef struct tw_tc {
    int32_t hours, minutes, seconds, frames;
    bool semicolon; /* written HH:MM:SS;FF or HH;MM;SS;FF: the writer meant drop frame */
} tw_tc;

/* Splits a label. One- or two-digit hours, two digits elsewhere. Faults: FORM, SEPARATOR, MINUTE, HOUR.
 * *at (may be NULL): offset of the wrong character. */
tw_tc_fault tw_tc_split(tw_str s, tw_tc *tc, size_t *at);

/* Frame number of a label since 00:00:00:00; drop applies only where the rate can drop. Faults: FRAME, DROPPED.
 * frames = ((60h+m)60+s)N + f - d(M - floor(M/10)), M = 60h+m (ST 12-1; N 30/60, d 2/4). */
tw_tc_fault tw_tc_frames(tw_tc tc, tw_rate rate, bool drop, int64_t *frames);

/* Both steps. */
tw_tc_fault tw_tc_read(tw_str s, tw_rate rate, bool drop, int64_t *frames);

/* The label of a frame; wraps at 24 hours, negative frames count back from midnight. Writes 12 bytes with the NUL.
 * Separator before the frames: ';' when drop, else ':'; all ':' when `colons`. */
void tw_tc_write(int64_t frames, tw_rate rate, bool drop, bool colons, char out[12]);

/* Appends that label, with ';' where drop frame counts; or gives it as a text, NUL-ended. */
void tw_tc_add(int64_t frames, tw_rate rate, bool drop, tw_buf *out);
tw_str tw_tc_text(tw_arena *arena, int64_t frames, tw_rate rate, bool drop);

/* Frames in 24 hours: 2,589,408 at 29.97 drop, 5,178,816 at 59.94 drop, else 86,400 x count. */
int64_t tw_tc_day(tw_rate rate, bool drop);

#ifdef __cplusplus
}
#endif
#endif
