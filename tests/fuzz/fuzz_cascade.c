/* SPDX-License-Identifier: Apache-2.0
 *
 * Whatever is read as a cascade can be looked with, and ends; the rest is refused with a word.
 */
#include "fuzz.h"

#include <tallwide/cascade.h>

#define SIDE 48

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_diags *diags = tw_diags_new(arena);
    tw_cascade cascade;
    const tw_status status =
        tw_cascade_read(arena, (tw_str){(const char *)data, size}, TW_STR("input"), diags, &cascade);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    if (status == TW_OK) {
        uint8_t *px = TW_NEW_N(arena, uint8_t, SIDE * SIDE);
        for (size_t i = 0; i < SIDE * SIDE; i++)
            px[i] = size > 0 ? data[i * 7 % size] : 0;
        tw_found *found;
        const tw_plane plane = {px, SIDE, SIDE, SIDE};
        const size_t count = tw_cascade_find(arena, &cascade, &plane, &(tw_cascade_ask){.votes = 1}, &found);
        for (size_t i = 0; i < count; i++)
            FUZZ_CHECK(found[i].box.left >= 0 && found[i].box.left + found[i].box.width <= SIDE + 3 &&
                       found[i].box.top >= 0 && found[i].box.top + found[i].box.height <= SIDE + 3);
    }
    tw_arena_free(&arena);
    return 0;
}
