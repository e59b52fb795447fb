/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

static int probe(tw_str bytes)
{
    tw_str head = tw_str_cut(bytes, 4096);
    if (tw_str_holds(head, TW_STR("<smil")))
        return 95;
    return tw_str_holds(head, TW_STR("<?xml")) ? 5 : 0;
}

static size_t parts(const tw_timeline *timeline)
{
    (void)timeline;
    return 1;
}

const tw_format tw_format_smil = {
    .name = "smil",
    .title = "SMIL 3.0 timeline",
    .extensions = {"smil", "smi"},
    .states_rate = true,
    .probe = probe,
    .read = twi_smil_read,
    .parts = parts,
    .write = twi_smil_write,
    .to_the_letter = true,
    .mark = "name=\"key\"",
    .cannot_carry =
        "speeds a player would obey, wipes as drawn, markers, remarks and channels of text lists, which tracks and "
        "nested timelines are switched off, several media of one clip and all but the path of one, what only another "
        "format's document holds",
};
