/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

edl_case edl_read(tw_arena *arena, tw_str bytes, const char *rate)
{
    tw_read_options options = {.drop = false};
    edl_case c = {.diags = tw_diags_new(arena)};
    if (rate[0] != '\0')
        assert_true(tw_rate_read(tw_str_z(rate), &options.rate, &options.drop));
    c.status = tw_format_edl.read(arena, bytes, TW_STR("t.edl"), &options, c.diags, &c.timeline);
    assert_int_equal(c.status == TW_OK, c.timeline != NULL);
    assert_int_equal(c.status == TW_OK, !tw_diags_failed(c.diags));
    return c;
}

const char *edl_findings(tw_arena *arena, const char *text, const char *rate)
{
    return tw_findings(arena, edl_read(arena, tw_str_z(text), rate).diags);
}

tw_str edl_dump(tw_arena *arena, const char *text, const char *rate)
{
    edl_case c = edl_read(arena, tw_str_z(text), rate);
    tw_buf out = {.arena = arena};
    if (c.timeline == NULL)
        print_error("%s", tw_findings(arena, c.diags));
    assert_non_null(c.timeline);
    tw_timeline_dump(c.timeline, &out);
    return tw_buf_str(&out);
}

const tw_item *edl_item(const tw_timeline *timeline, size_t t, size_t i)
{
    assert_true(t < timeline->track_count);
    assert_true(i < timeline->tracks[t].item_count);
    return &timeline->tracks[t].items[i];
}

tw_str edl_rewritten(tw_arena *arena, const tw_timeline *timeline, size_t part, tw_diags *diags)
{
    tw_timeline *copy = tw_timeline_copy(arena, timeline);
    tw_buf out = {.arena = arena};
    copy->format = NULL; /* as if another format had read it */
    assert_int_equal(tw_format_edl.write(arena, copy, part, NULL, diags, &out), TW_OK);
    return tw_buf_str(&out);
}
