/* SPDX-License-Identifier: Apache-2.0
 *
 * Whatever is read can be framed, written, proved to be the master but for that, and read again; also as a document made
 * anew. Whatever is refused is told of.
 */
#include "fuzz.h"
#include "otio/unchanged.h"

#include <tallwide/otio.h>

static tw_timeline *read(tw_arena *arena, tw_str bytes, tw_diags *diags)
{
    const tw_read_options options = {.drop = false};
    tw_timeline *timeline = NULL;
    size_t before = tw_diags_count(diags, TW_ERROR);
    tw_status status = tw_format_otio.read(arena, bytes, TW_STR("input"), &options, diags, &timeline);
    FUZZ_CHECK((status == TW_OK) == (timeline != NULL));
    FUZZ_CHECK((status == TW_OK) == (tw_diags_count(diags, TW_ERROR) == before));
    return timeline;
}

static tw_str written(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags)
{
    const tw_write_options options = {.crlf = false};
    tw_buf out = {.arena = arena};
    FUZZ_CHECK(tw_format_otio.write(arena, timeline, 0, &options, diags, &out) == TW_OK);
    return tw_buf_str(&out);
}

static void frame_all(tw_arena *arena, tw_timeline *timeline)
{
    tw_item **clips = tw_timeline_clips(arena, timeline);
    tw_framing *f = TW_NEW(arena, tw_framing);
    *f = (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .key_count = 2};
    f->keys = TW_NEW_N(arena, tw_key, 2);
    f->keys[0] = (tw_key){.frame = -3, .cx = 1215.0004, .cy = 2160, .w = 2430};
    f->keys[1] = (tw_key){.frame = 40, .cx = 3000, .cy = 2160, .w = 2430, .ease = 7};
    for (size_t i = 0; i < timeline->clip_count; i++)
        clips[i]->framing = f;
    timeline->stamp = TW_NEW(arena, tw_stamp);
    *timeline->stamp = (tw_stamp){TW_STR("tall"), {1080, 1920}, 1, 2};
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_diags *diags = tw_diags_new(arena);
    tw_str bytes = {(const char *)data, size};
    tw_format_otio.probe(bytes);
    tw_timeline *timeline = read(arena, bytes, diags);
    if (timeline != NULL) {
        tw_buf dump = {.arena = arena};
        tw_timeline_dump(timeline, &dump);
        tw_timeline_check(timeline, diags);
        tw_timeline_totals(timeline);
        frame_all(arena, timeline);
        tw_str derived = written(arena, timeline, diags);
        FUZZ_CHECK(otio_difference(arena, bytes, derived) == NULL);
        tw_timeline *again = read(arena, derived, diags);
        FUZZ_CHECK(again != NULL && again->clip_count == timeline->clip_count);
        FUZZ_CHECK(tw_str_eq(derived, written(arena, again, diags)));
        timeline->format = NULL;
        FUZZ_CHECK(read(arena, written(arena, timeline, diags), diags) != NULL);
    }
    tw_buf told = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &told);
    tw_diags_write_json(diags, 2, &told);
    tw_arena_free(&arena);
    return 0;
}
