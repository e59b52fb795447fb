/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_out.h"

static const struct {
    int code;
    const char *one, *before, *after; /* of many: around their number */
} sentences[TWI_LOSSES] = {
    [TWI_LOSS_DISABLED] = {1251, "this clip is switched off: a list cannot say so, it is left out", "",
                           " clips are switched off, this one first: a list cannot say so, they are left out"},
    [TWI_LOSS_NEST] = {1252, "this nested timeline is written as one event; what is in it is not", "",
                       " nested timelines, this one first, are each written as one event; what is in them is not"},
    [TWI_LOSS_UNFOLDED] = {1252, "this nested timeline is written as the clips in it", "",
                           " nested timelines, this one first, are written as the clips in them"},
    [TWI_LOSS_EMPTY] = {1252, "this nested timeline has no picture: it is a gap in the list", "",
                        " nested timelines, this one first, have no picture: they are gaps in the list"},
    [TWI_LOSS_MIX] = {1253,
                      "this transition was changed: in a list it begins at the cut, fits into the incoming event, "
                      "takes at most 999 frames, and is a dissolve, wipe or key",
                      "",
                      " transitions were changed, this one first: in a list they begin at the cut, fit into the "
                      "incoming event, take at most 999 frames, and are dissolves, wipes or keys"},
    [TWI_LOSS_MIX_OFF] = {1251, "this transition is switched off: a list cannot say so, it is written as a cut", "",
                          " transitions are switched off, this one first: a list cannot say so, they are written as "
                          "cuts"},
    [TWI_LOSS_MEDIA] = {1254, "only the active one of this clip's media references is named",
                        "only the active media reference is named for ", " clips, this one first"},
    [TWI_LOSS_GENERATOR] = {1266, "this clip is made, as bars are, not recorded: in a list it is black", "",
                            " clips, this one first, are made, as bars are, not recorded: in a list they are black"},
    [TWI_LOSS_TEXT] =
        {1255, "a text here is longer than a list can hold, or has characters that it cannot: it was changed", "",
         " texts, here first, are longer than a list can hold, or have characters that it cannot: they were changed"},
    [TWI_LOSS_REMARK] = {1255, "a remark here would be read as several lines, or not as a remark: it was changed", "",
                         " remarks, here first, would be read as several lines, or not as remarks: they were changed"},
    [TWI_LOSS_SUBFRAME] = {1256, "a time of this item lies between two frames: it was rounded", "",
                           " times, here first, lie between two frames: they were rounded"},
    [TWI_LOSS_MARKER] = {1257, "a marker of something other than a clip has no place in a list: it is left out", "",
                         " markers of something other than a clip have no place in a list: they are left out"},
    [TWI_LOSS_TRACK] = {1265, "a track of neither picture nor sound has no place in a list: it is left out", "",
                        " tracks of neither picture nor sound have no place in a list: they are left out"},
    [TWI_LOSS_SOURCE_RATE] = {1236, "the source of this clip counts other frames in a second than the list",
                              "the sources of ",
                              " clips, this one first, count other frames in a second than the list"},
    [TWI_LOSS_SOURCE_COUNT] =
        {1236, "the source of this clip counts frames as no list does: its times are written as the list counts",
         "the sources of ",
         " clips, this one first, count frames as no list does: their times are written as the list counts"},
    [TWI_LOSS_SPEED] = {1259, "the speed of this clip is rounded to one decimal of a frame a second", "the speeds of ",
                        " clips, this one first, are rounded to one decimal of a frame a second"},
    [TWI_LOSS_VARIABLE] = {1259, "the speed of this clip changes inside it: a list gets a constant one",
                           "the speeds of ", " clips, this one first, change inside them: a list gets constant ones"},
    [TWI_LOSS_OVERLAP] = {1260, "this clip begins before the one before it ends: both are written", "",
                          " clips, this one first, begin before the one before them ends: all are written"},
    [TWI_LOSS_REEL_CUT] = {1234, "the reel of this clip does not fit as it is: its full name stands in a remark",
                           "the reels of ",
                           " clips, this one first, do not fit as they are: full names stand in remarks"},
    [TWI_LOSS_REEL_SAME] = {1234, "a reel, made to fit, was the same as another one: it got a number", "",
                            " reels, made to fit, this one first, were the same as others: they got numbers"},
    [TWI_LOSS_SHORT_MEDIA] = {1230, "the media of this outgoing clip ends before its transition does", "the media of ",
                              " outgoing clips, this one first, ends before their transitions do"},
    [TWI_LOSS_RECORD_DAY] =
        {1263, "the programme begins outside the 24 hours of a list's clock: it is put on the same time of day", "",
         ""},
    [TWI_LOSS_SOURCE_DAY] =
        {1263,
         "the source of this clip begins outside the 24 hours of a list's clock: it is put on the same time of day",
         "the sources of ",
         " clips, this one first, begin outside the 24 hours of a list's clock: they are put on "
         "the same time of day"},
};

void twi_edl_lose(twi_out *out, twi_loss loss, const tw_item *item)
{
    if (out->lost[loss].count++ == 0)
        out->lost[loss].first = item;
}

void twi_edl_say_losses(const twi_out *out)
{
    for (size_t i = 0; i < TWI_LOSSES; i++) {
        const tw_item *item = out->lost[i].first;
        tw_place nowhere = {.file = out->timeline->file};
        const tw_place *place = item != NULL ? &item->place : &nowhere;
        if (out->lost[i].count == 1)
            tw_diag_add(out->diags, sentences[i].code, place, "%s", sentences[i].one);
        else if (out->lost[i].count > 1)
            tw_diag_add(out->diags, sentences[i].code, place, "%s%zu%s", sentences[i].before, out->lost[i].count,
                        sentences[i].after);
    }
}
