/* SPDX-License-Identifier: Apache-2.0
 *
 * A table of boxes, by itself and with keys drawn by hand: what is read stays in the picture and in order, and goes
 * through the keys.
 */
#include "fuzz.h"

#include <tallwide/plan.h>

static void read(tw_arena *arena, tw_str bytes, tw_region region, const tw_region_key *keys, size_t count)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = tw_plan_track(arena, bytes, TW_STR("input"), (tw_size){1920, 1080}, 100, &region, diags);
    size_t met = 0;
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    for (size_t i = 0; status == TW_OK && i < region.key_count; i++) {
        const tw_region_key *k = &region.keys[i];
        FUZZ_CHECK(k->left >= 0 && k->top >= 0 && k->width > 0 && k->height > 0);
        FUZZ_CHECK(k->left + k->width <= 1 + 1e-9 && k->top + k->height <= 1 + 1e-9);
        FUZZ_CHECK(i == 0 || k->frame > k[-1].frame);
        for (size_t n = 0; n < count; n++)
            met += k->frame == keys[n].frame && !(k->left < keys[n].left || k->left > keys[n].left) &&
                   !(k->height < keys[n].height || k->height > keys[n].height);
    }
    FUZZ_CHECK(status != TW_OK || met == count);
    tw_buf text = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str bytes = {(const char *)data, size};
    const tw_region_key drawn[] = {{101, 0.25, 0.5, 0.125, 0.25}, {104, 0.5, 0.5, 0.25, 0.25}, {140, 0, 0, 1, 1}};
    const size_t count = sizeof drawn / sizeof drawn[0];
    tw_region region = {.weight = 1, .detector = true};
    read(arena, bytes, region, NULL, 0);
    region.hand = TW_NEW_N(arena, tw_region_key, count);
    region.hand_count = count;
    for (size_t i = 0; i < count; i++)
        region.hand[i] = drawn[i];
    read(arena, bytes, region, drawn, count);
    tw_arena_free(&arena);
    return 0;
}
