/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of smil: names of params and the clock.
 */
#ifndef TW_SMIL_INTERNAL_H
#define TW_SMIL_INTERNAL_H

#include <tallwide/smil.h>
#include <tallwide/xmlio.h>

#define SMIL_SPACE "http://www.w3.org/ns/SMIL"
#define SMIL_DOCTYPE                                                                                                   \
    "smil PUBLIC \"-//W3C//DTD SMIL 3.0 Language//EN\" \"http://www.w3.org/2008/SMIL30/SMIL30Language.dtd\""

/* Milliseconds at which a moment begins, rounded up. */
int64_t twi_smil_ms(tw_time t);

/* Appends "4.004s". */
void twi_smil_clock(int64_t ms, tw_buf *out);

/* "npt=10.010s", "10.010s", "10.010", "250ms", "1.5min", "2h", "00:01:02.5", "01:02.5": thousandths of a second, as
 * SMIL 3.0 timing says; false for what needs events or markers. */
bool twi_smil_read_clock(tw_str s, int64_t *ms);

/* Points of a path that straight lines join within TW_SMIL_CHORD pixels: frames may lie between two. */
typedef struct twi_smil_point {
    double frame;
    tw_window window;
} twi_smil_point;
size_t twi_smil_points(tw_arena *arena, const tw_framing *framing, twi_smil_point **out);

/* The window in whole pixels, inside the source as long as the window itself is. */
tw_window twi_smil_whole(tw_window win, tw_size source);

tw_status twi_smil_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                        tw_timeline **out);
tw_status twi_smil_write(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                         tw_diags *diags, tw_buf *out);

#endif
