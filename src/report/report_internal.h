/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of report.
 */
#ifndef TW_REPORT_INTERNAL_H
#define TW_REPORT_INTERNAL_H

#include <tallwide/report.h>
#include <tallwide/xmlio.h>

/* ---- say.c: the same numbers in the same words everywhere ------------------------------------------------- */

/* "16:9", "4:3", or "2.39:1" when no small numbers say it. */
void twi_report_ratio(double w, double h, tw_buf *out);
/* "2430x4320 at 1665,0", at most two decimals. */
void twi_report_window(tw_window win, tw_buf *out);
/* "42.2 %" of a share. */
void twi_report_percent(double share, int places, tw_buf *out);
/* A time code label at a rate. */
void twi_report_time(int64_t frames, tw_rate rate, bool drop, tw_buf *out);

/* ---- place.c: where shots stand on the record side --------------------------------------------------------- */

/* Record time of a clip at the top level, from the start of the programme; nothing of it is seen when out <= in.
 * `lead`: how much of the clip's beginning the nest around it cuts off, in the clip's own record time. */
typedef struct twi_place {
    tw_time in, out, lead;
} twi_place;

/* By clip index. */
twi_place *twi_report_places(tw_arena *arena, const tw_timeline *timeline);

/* What a shot is called: its event, or its running number from 1, as "003". */
tw_str twi_report_event(tw_arena *arena, const tw_decision *shot, size_t index);

/* What its source is called: the first of tw_item_names that says something. */
tw_str twi_report_reel(const tw_item *clip);

#endif
