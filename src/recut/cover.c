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

void tw_recut_cover(const tw_timeline *timeline, const tw_item *item, const tw_note *const *notes, size_t count,
                    int64_t *head, int64_t *tail)
{
    int64_t frames = tw_item_frames(timeline, item), last = frames - 1;
    *head = 0;
    while (*head < frames && !covered(timeline, item, *head, notes, count))
        ++*head;
    while (last >= *head && !covered(timeline, item, last, notes, count))
        last--;
    *tail = *head == frames ? frames : frames - 1 - last;
}
