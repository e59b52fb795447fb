/* SPDX-License-Identifier: Apache-2.0
 *
 * A plan that is read is written as canonical text, which reads as the same plan and is written as the same bytes. The
 * same input is also taken as a table of boxes.
 */
#include "fuzz.h"

#include <tallwide/plan.h>

static void as_plan(tw_arena *arena, tw_str bytes, tw_rate rate)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL, *again = NULL;
    tw_status status = tw_plan_read(arena, bytes, TW_STR("input"), rate, false, diags, &plan);
    FUZZ_CHECK((status == TW_OK) == (plan != NULL));
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    fuzz_write_out(arena, diags);
    if (plan == NULL)
        return;
    tw_buf once = {.arena = arena}, twice = {.arena = arena};
    tw_plan_write(plan->doc.root, &once);
    FUZZ_CHECK(tw_plan_read(arena, tw_buf_str(&once), TW_STR("again"), rate, false, diags, &again) == TW_OK);
    FUZZ_CHECK(plan->note_count == again->note_count && plan->source_count == again->source_count);
    tw_plan_write(again->doc.root, &twice);
    FUZZ_CHECK(tw_str_eq(tw_buf_str(&once), tw_buf_str(&twice)));
    FUZZ_CHECK(tw_plan_open(arena, bytes, TW_STR("input"), diags, &again) == TW_OK);
    FUZZ_CHECK(tw_str_eq(again->edit_file, plan->edit_file) && tw_rate_eq(again->rate, plan->rate));
    FUZZ_CHECK(tw_plan_finish(arena, again, rate, false, diags) == TW_OK && plan->note_count == again->note_count);
}

static void as_table(tw_arena *arena, tw_str bytes)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_region region = {.weight = 1};
    tw_status status = tw_plan_track(arena, bytes, TW_STR("input"), (tw_size){1920, 1080}, 100, &region, diags);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    for (size_t i = 0; i < region.key_count; i++) {
        const tw_region_key *k = &region.keys[i];
        FUZZ_CHECK(k->left >= 0 && k->top >= 0 && k->width > 0 && k->height > 0);
        FUZZ_CHECK(k->left + k->width <= 1 + 1e-9 && k->top + k->height <= 1 + 1e-9);
        FUZZ_CHECK(i == 0 || k->frame > k[-1].frame);
    }
    fuzz_write_out(arena, diags);
}

static void as_movement(tw_arena *arena, tw_str bytes)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_note note = {.steady = 1};
    tw_status status = tw_plan_movement(arena, bytes, TW_STR("input"), &note, diags);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    FUZZ_CHECK(status == TW_OK || note.moved_count == 0);
    fuzz_write_out(arena, diags);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str bytes = {(const char *)data, size};
    as_plan(arena, bytes, (tw_rate){30000, 1001});
    as_plan(arena, bytes, (tw_rate){0, 0});
    as_table(arena, bytes);
    as_movement(arena, bytes);
    tw_arena_free(&arena);
    return 0;
}
