/* SPDX-License-Identifier: Apache-2.0
 *
 * Lists whose sources count otherwise than the record, each with a note for a reel from a label of its clock on, and the
 * frame of the shot at which that begins.
 */
#ifndef TW_TESTS_DERIVE_COUNTED_H
#define TW_TESTS_DERIVE_COUNTED_H

#include <tallwide/derive.h>
#include <tallwide/edl.h>

static const struct {
    const char *name, *list, *rate, *reel, *in;
    size_t shot;
    int64_t frame;
} counted[] = {
    /* 1 s = 24 frames of the source are 30 of the record */
    {"24 in 30",
     "TITLE: T\n"
     "001  A001     V     C        01:00:00:00 01:00:01:12 01:00:00:00 01:00:01:15\n"
     "002  A002     V     C        01:00:00:00 01:00:02:17 01:00:01:15 01:00:04:07\n"
     "003  A003     V     C        01:00:00:00 01:00:03:23 01:00:04:07 01:00:08:06\n",
     "30", "A002", "01:00:01:00", 1, 30},
    /* the frame before 01:00:01:00, a label that 24 does not have */
    {"25 in 24",
     "TITLE: T\n"
     "001  A001     V     C        01:00:00:24 01:00:02:24 01:00:00:00 01:00:02:00\n"
     "002  A002     V     C        01:00:00:10 01:00:01:20 01:00:02:00 01:00:03:09\n"
     "003  A003     V     C        01:00:00:05 01:00:04:20 01:00:03:09 01:00:07:23\n",
     "24", "A001", "01:00:00:24", 0, 0},
    /* 10 s x 30 = 300 frames from 01:00:50;00 on comes 01:01:00;02: 00 and 01 are left out */
    {"drop in non-drop",
     "TITLE: T\nFCM: NON-DROP FRAME\n"
     "001  NDF_0001 V     C        01:00:59:28 01:01:09:28 01:00:00:00 01:00:10:00\n"
     "FCM: DROP FRAME\n"
     "002  DFT_0002 V     C        01:00:50:00 01:01:20:02 01:00:10:00 01:00:40:00\n",
     "29.97", "DFT_0002", "01:01:00:02", 1, 300},
    /* here they are not */
    {"non-drop in drop",
     "TITLE: T\nFCM: DROP FRAME\n"
     "001  DFT_0001 V     C        01:00:59:28 01:01:09:28 01:00:00:00 01:00:10:00\n"
     "FCM: NON-DROP FRAME\n"
     "002  NDF_0002 V     C        01:00:50:00 01:01:20:00 01:00:10:00 01:00:40:00\n",
     "29.97df", "NDF_0002", "01:01:00:00", 1, 300},
};

static inline const tw_plan *counted_plan(tw_arena *arena, size_t row, tw_timeline **master)
{
    tw_str text = tw_arena_printf(
        arena,
        "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\", \"rate\": \"%s\"},\n"
        "\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}],\n"
        "\"sources\": [{\"reel\": \"*\", \"size\": [5760, 4320]}],\n"
        "\"notes\": [{\"id\": \"n\", \"reel\": \"%s\", \"in\": \"%s\", \"regions\": [{\"name\": \"hub\", \"need\": "
        "\"must\", \"keys\": [[\"%s\", 0.1, 0.3, 0.1, 0.2]]}]}]}",
        counted[row].rate, counted[row].reel, counted[row].in, counted[row].in);
    tw_plan *plan = NULL;
    tw_diags *diags = tw_diags_new(arena);
    if (tw_plan_open(arena, text, TW_STR("plan"), diags, &plan) != TW_OK)
        return NULL;
    const tw_read_options options = {.rate = plan->rate, .drop = plan->drop};
    if (tw_format_edl.read(arena, tw_str_z(counted[row].list), TW_STR("list"), &options, diags, master) != TW_OK)
        return NULL;
    tw_derive_clocks(arena, *master, plan);
    return tw_plan_finish(arena, plan, (*master)->rate, (*master)->drop, diags) == TW_OK ? plan : NULL;
}

#endif
