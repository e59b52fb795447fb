/* SPDX-License-Identifier: Apache-2.0
 *
 * A format of names, for tests that need one to write with.
 */
#ifndef TW_TESTS_PROOF_NAMES_H
#define TW_TESTS_PROOF_NAMES_H

#include <tallwide/timeline.h>

/* A format that writes the names of all clips, and what is framed, one a line. */
static tw_status write_names(tw_arena *arena, const tw_timeline *t, size_t part, const tw_write_options *options,
                             tw_diags *diags, tw_buf *out)
{
    (void)arena, (void)part, (void)options, (void)diags;
    tw_buf_addf(out, "%.*s\n", TW_ARG(t->name));
    for (size_t i = 0; i < t->tracks[0].item_count; i++) {
        const tw_item *item = &t->tracks[0].items[i];
        tw_buf_addf(out, "%.*s%s\n", TW_ARG(item->event), item->framing != NULL ? " tallwide" : "");
    }
    return TW_OK;
}

static const tw_format names = {.name = "names", .write = write_names, .mark = "tallwide"};

static tw_timeline *with_format(tw_timeline *t)
{
    t->format = &names;
    return t;
}

#endif
