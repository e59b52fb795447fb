/* SPDX-License-Identifier: Apache-2.0
 *
 * Versions of an edit built by hand: rows of shots on one track at 24 frames a second.
 */
#ifndef TW_TESTS_RECUT_VERSIONS_H
#define TW_TESTS_RECUT_VERSIONS_H

#include "support/support.h"
#include "timeline/hand.h"

#include <tallwide/recut.h>

/* One shot: reel, source frame of its first frame, record frames, speed. */
typedef struct row_shot {
    const char *reel;
    int64_t start, frames;
    int speed; /* whole: 1, 2, -1, 0 */
} row_shot;

static inline tw_timeline *version(tw_arena *arena, const row_shot *rows, size_t count)
{
    tw_item *items = TW_NEW_N(arena, tw_item, count);
    int64_t record = 86400;
    for (size_t i = 0; i < count; i++) {
        items[i] = hand_clip(rows[i].reel, record, rows[i].start, rows[i].frames);
        items[i].speed = rows[i].speed;
        items[i].event = tw_arena_printf(arena, "%03zu", i + 1);
        record += rows[i].frames;
    }
    tw_track *track = TW_NEW(arena, tw_track);
    *track = hand_track(TW_TRACK_VIDEO, items, count);
    return hand_timeline(arena, track, 1);
}

#define VERSION(arena, rows) version(arena, rows, sizeof(rows) / sizeof((rows)[0]))

#endif
