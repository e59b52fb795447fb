/* SPDX-License-Identifier: Apache-2.0
 *
 * Timelines for tests, read from text lists at 24 frames a second that begin at 00:00:00:00.
 */
#ifndef TW_TESTS_PREVIEW_SUPPORT_H
#define TW_TESTS_PREVIEW_SUPPORT_H

#include "media/media_support.h"

#include <tallwide/formats.h>
#include <tallwide/preview.h>

static inline tw_timeline *read_list(tw_arena *arena, const char *events, const char *rate)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *t = NULL;
    tw_read_options options = {.drop = false};
    tw_str text = tw_arena_printf(arena, "TITLE: TEST\nFCM: NON-DROP FRAME\n\n%s", events);
    assert_true(tw_rate_read(tw_str_z(rate), &options.rate, &options.drop));
    if (tw_formats_read(arena, text, TW_STR("test.edl"), &options, diags, &t) != TW_OK)
        print_error("%s\n", tw_findings(arena, diags));
    assert_non_null(t);
    return t;
}

#endif
