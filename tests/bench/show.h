/* SPDX-License-Identifier: Apache-2.0
 *
 * Made-up shows of any length for measuring: a plan with notes and region keys, and its master as an OTIO file or as a
 * text list. The same numbers on every machine.
 */
#ifndef TW_TESTS_SHOW_H
#define TW_TESTS_SHOW_H

#include <tallwide/base.h>

#define SHOW_SHOT_FRAMES 70
#define SHOW_SHOT_KEYS 20
#define SHOW_DELIVERIES 3

typedef struct show {
    long shots;
    bool list;   /* the master is a text list, else OTIO */
    int version; /* 2: every hundredth shot is two frames shorter and every thousandth is gone */
} show;

tw_str show_master(tw_arena *arena, const show *s);
tw_str show_plan(tw_arena *arena, const show *s, const char *edit_file);

#endif
