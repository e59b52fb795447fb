/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

#define PROBED ((size_t)1 << 16) /* bytes looked at */

/* An event line is proof; a header or remarks are good signs. */
int twi_edl_probe(tw_str bytes)
{
    twi_scan scan;
    tw_str raw;
    size_t end_len;
    int sure = 0;
    if (bytes.len > 0 && twi_edl_not_text(bytes) != NULL)
        return 0;
    twi_edl_scan(&scan, NULL, tw_str_cut(bytes, PROBED));
    while (sure < 90 && twi_edl_next_raw(&scan, &raw, &end_len)) {
        tw_str text = tw_str_trim(raw);
        twi_token t[TWI_TOKENS + 1];
        size_t n = twi_edl_is_numbered(text) ? twi_edl_tokens(text, t) : 0;
        tw_tc tc;
        size_t times = 0;
        for (size_t i = 1; i < n && i < TWI_TOKENS; i++)
            times += tw_tc_split(t[i].text, &tc, NULL) == TW_TC_FINE;
        if (times >= 4)
            sure = 90;
        else if (tw_str_istarts(text, TW_STR("TITLE:")) || tw_str_istarts(text, TW_STR("FCM:")))
            sure = sure > 80 ? sure : 80;
        else if (tw_str_istarts(text, TW_STR("* FROM CLIP")) || tw_str_istarts(text, TW_STR("*FROM CLIP")))
            sure = sure > 40 ? sure : 40;
    }
    return sure;
}

static bool is_list(const tw_timeline *timeline)
{
    return timeline->format == &tw_format_edl && timeline->origin != NULL;
}

static size_t parts(const tw_timeline *timeline)
{
    size_t pictures = 0;
    for (size_t t = 0; t < timeline->track_count; t++)
        pictures += timeline->tracks[t].kind == TW_TRACK_VIDEO;
    return is_list(timeline) || pictures == 0 ? 1 : pictures;
}

static tw_status write_edl(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                           tw_diags *diags, tw_buf *out)
{
    static const tw_write_options none = {.crlf = false};
    if (is_list(timeline))
        return twi_edl_keep(arena, timeline, out);
    return twi_edl_write_new(arena, timeline, part, options != NULL ? options : &none, diags, out);
}

const tw_format tw_format_edl = {
    .name = "edl",
    .title = "SMPTE ST 258 style text list",
    .extensions = {"edl", "txt"},
    .probe = twi_edl_probe,
    .read = twi_edl_read,
    .parts = parts,
    .write = write_edl,
    .mark = "* TALLWIDE",
    .cannot_carry = "several picture tracks in one file, nested timelines, disabled clips and transitions, effects "
                    "other than a constant speed, "
                    "transitions that begin before the cut, names outside ASCII but those of reels, names of tracks, "
                    "event numbers where some event "
                    "has none, a start before the first event, "
                    "and all of a media reference but "
                    "its name and path",
};
