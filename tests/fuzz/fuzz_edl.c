/* SPDX-License-Identifier: Apache-2.0
 *
 * A list that is read is written back with the same bytes, apart from lines of ours; written anew, it is a list again.
 */
#include "fuzz.h"

#include <tallwide/edl.h>

static tw_timeline *read_list(tw_arena *arena, tw_str bytes, const tw_read_options *options)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = NULL;
    tw_status status = tw_format_edl.read(arena, bytes, TW_STR("input"), options, diags, &timeline);
    FUZZ_CHECK((status == TW_OK) == (timeline != NULL));
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    fuzz_write_out(arena, diags);
    return timeline;
}

static bool has_ours(tw_str bytes)
{
    for (size_t i = 0; i < bytes.len; i++)
        if (tw_str_starts(tw_str_from(bytes, i), TW_STR("* TALLWIDE")))
            return true;
    return false;
}

static void as_list(tw_arena *arena, tw_str bytes, const tw_read_options *options)
{
    tw_timeline *timeline = read_list(arena, bytes, options);
    if (timeline == NULL)
        return;
    tw_buf dump = {.arena = arena}, kept = {.arena = arena}, fresh = {.arena = arena};
    tw_timeline_dump(timeline, &dump);
    tw_diags *diags = tw_diags_new(arena);
    FUZZ_CHECK(tw_format_edl.write(arena, timeline, 0, NULL, diags, &kept) == TW_OK);
    FUZZ_CHECK(has_ours(bytes) || tw_str_eq(tw_buf_str(&kept), bytes));
    FUZZ_CHECK(read_list(arena, tw_buf_str(&kept), options) != NULL);
    timeline->format = NULL; /* as if another format had read it */
    tw_status status = tw_format_edl.write(arena, timeline, 0, NULL, diags, &fresh);
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    if (status != TW_OK) /* longer than the clock of a list can tell */
        return;
    const tw_read_options same = {.rate = timeline->rate, .drop = timeline->drop};
    FUZZ_CHECK(read_list(arena, tw_buf_str(&fresh), &same) != NULL);
    fuzz_write_out(arena, diags);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const tw_read_options rates[] = {{.rate = {0, 0}}, {.rate = {24, 1}}, {.rate = {30000, 1001}, .drop = true}};
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str bytes = {(const char *)data, size};
    tw_format_edl.probe(bytes);
    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++)
        as_list(arena, bytes, &rates[i]);
    tw_arena_free(&arena);
    return 0;
}
