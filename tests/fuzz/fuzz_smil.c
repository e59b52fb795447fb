/* SPDX-License-Identifier: Apache-2.0
 *
 * Whatever is read as SMIL is written and read again, and from then on always the same; it can be written as every other
 * format or is refused with a word.
 */
#include "fuzz.h"

#include <tallwide/formats.h>
#include <tallwide/smil.h>

static tw_timeline *read(tw_arena *arena, tw_str bytes, tw_rate rate)
{
    const tw_read_options options = {.rate = rate};
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = NULL;
    tw_status status = tw_format_smil.read(arena, bytes, TW_STR("input"), &options, diags, &timeline);
    FUZZ_CHECK((status == TW_OK) == (timeline != NULL));
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    fuzz_write_out(arena, diags);
    return timeline;
}

static tw_str written(tw_arena *arena, const tw_timeline *timeline)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_buf out = {.arena = arena};
    FUZZ_CHECK(tw_format_smil.write(arena, timeline, 0, NULL, diags, &out) == TW_OK);
    fuzz_write_out(arena, diags);
    return tw_buf_str(&out);
}

static void in_other_formats(tw_arena *arena, const tw_timeline *timeline)
{
    for (size_t i = 0; tw_formats_at(i) != NULL; i++) {
        const tw_format *format = tw_formats_at(i);
        for (size_t part = 0; part < format->parts(timeline); part++) {
            tw_diags *diags = tw_diags_new(arena);
            tw_buf out = {.arena = arena};
            bool fine = format->write(arena, timeline, part, NULL, diags, &out) == TW_OK;
            FUZZ_CHECK(fine != tw_diags_failed(diags));
        }
    }
}

static void as_smil(tw_arena *arena, tw_str bytes, tw_rate rate)
{
    const tw_timeline *timeline = read(arena, bytes, rate);
    if (timeline == NULL)
        return;
    tw_buf dump = {.arena = arena};
    tw_timeline_dump(timeline, &dump);
    tw_str once = written(arena, timeline);
    const tw_timeline *again = read(arena, once, (tw_rate){0, 0});
    FUZZ_CHECK(again != NULL && again->clip_count == timeline->clip_count);
    tw_str twice = written(arena, again);
    const tw_timeline *third = read(arena, twice, (tw_rate){0, 0});
    FUZZ_CHECK(third != NULL && tw_str_eq(twice, written(arena, third)));
    in_other_formats(arena, timeline);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str bytes = {(const char *)data, size};
    tw_format_smil.probe(bytes);
    as_smil(arena, bytes, (tw_rate){0, 0});
    as_smil(arena, bytes, (tw_rate){24000, 1001});
    tw_arena_free(&arena);
    return 0;
}
