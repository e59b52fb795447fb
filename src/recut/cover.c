/* SPDX-License-Identifier: Apache-2.0 */
#include "recut_internal.h"

static bool covered(const tw_timeline *t, const tw_item *item, int64_t f, const tw_note *const *notes, size_t count)
{
    double source = tw_item_source_frame(t, item, f);
    for (size_t i = 0; i < count; i++)
        if (tw_note_holds(notes[i], source))
            return true;
    return false;
}

void tw_recut_cover(const tw_timeline *timeline, const tw_item *item, tw_span frames, const tw_note *const *notes,
                    size_t count, int64_t *head, int64_t *tail)
{
    int64_t f = frames.first, end = frames.end;
    while (f < end && !covered(timeline, item, f, notes, count))
        f++;
    while (end > f && !covered(timeline, item, end - 1, notes, count))
        end--;
    *head = f - frames.first;
    *tail = frames.end - (end > f ? end : frames.first);
}
