/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

typedef struct sort_key {
    int64_t in;
    uint32_t index;
} sort_key;

static int by_in(const void *a, const void *b)
{
    const sort_key *x = a, *y = b;
    return tw_then(TW_CMP(x->in, y->in), TW_CMP(x->index, y->index));
}

static void sort_row(twi_list *list, twi_row *row)
{
    bool sorted = true;
    for (size_t i = 1; i < row->count && row->ragged && sorted; i++)
        sorted = list->events[row->at[i]].frame[TWI_REC_IN] >= list->events[row->at[i - 1]].frame[TWI_REC_IN];
    if (sorted)
        return;
    sort_key *keys = TW_NEW_N(list->scratch, sort_key, row->count);
    for (size_t i = 0; i < row->count; i++)
        keys[i] = (sort_key){list->events[row->at[i]].frame[TWI_REC_IN], row->at[i]};
    TW_SORT(keys, row->count, by_in);
    for (size_t i = 0; i < row->count; i++)
        row->at[i] = keys[i].index;
}

static void add_to(twi_list *list, twi_row *row, size_t event)
{
    const twi_event *e = &list->events[event];
    int32_t in = e->frame[TWI_REC_IN], out = e->frame[TWI_REC_OUT];
    row->ragged = row->ragged || (row->count > 0 && in != row->reach);
    row->reach = row->count == 0 || out > row->reach ? out : row->reach;
    row->mixes += e->mix > 0;
    TW_PUSH(list->scratch, row->at, row->count, row->cap) = (uint32_t)event;
}

#define PICTURE_ROWS (2 * TWI_EDL_VIDEO_MOST)

/* Every track a list may have, those that stay empty are left out: pictures and their keys, then sound. */
static twi_row *all_rows(tw_arena *arena)
{
    twi_row *rows = TW_NEW_N(arena, twi_row, PICTURE_ROWS + TWI_EDL_AUDIO_MOST);
    for (uint16_t i = 0; i < PICTURE_ROWS; i++)
        rows[i] = (twi_row){.kind = TW_TRACK_VIDEO, .number = (uint16_t)(i / 2 + 1), .key = i % 2 == 1};
    for (uint16_t i = 0; i < TWI_EDL_AUDIO_MOST; i++)
        rows[PICTURE_ROWS + i] = (twi_row){.kind = TW_TRACK_AUDIO, .number = (uint16_t)(i + 1)};
    return rows;
}

static void sum_up(twi_sums *sums, const twi_event *e)
{
    bool no_length = twi_edl_record_frames(e) == 0;
    sums->pictures += e->video > 0 && !no_length;
    sums->sounds += e->video == 0 && e->channels != 0;
    sums->silent += e->channels == 0;
    sums->no_length = sums->no_length || (e->video > 0 && no_length);
    sums->no_reel = sums->no_reel || e->word[TWI_REEL].len == 0;
}

static void add_to_rows(twi_list *list, twi_row *rows, size_t event)
{
    const twi_event *e = &list->events[event];
    bool key = e->cut == TWI_KEY || e->cut == TWI_KEY_OUT;
    if (e->video > 0)
        add_to(list, &rows[(e->video - 1) * 2 + key], event);
    for (uint16_t a = 1; a <= TWI_EDL_AUDIO_MOST && e->channels >> a != 0; a++)
        if (e->channels >> a & 1u)
            add_to(list, &rows[PICTURE_ROWS + a - 1], event);
}

void twi_edl_rows(twi_list *list)
{
    twi_row *rows = all_rows(list->scratch);
    uint32_t number = 0;
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        list->sums.refused += e->bad;
        if (e->bad)
            continue;
        list->sums.falling = list->sums.falling || e->value < number;
        number = e->value;
        sum_up(&list->sums, e);
        if (!e->absorbed)
            add_to_rows(list, rows, i);
    }
    for (size_t i = 0; i < PICTURE_ROWS + TWI_EDL_AUDIO_MOST; i++) {
        if (rows[i].count == 0)
            continue;
        sort_row(list, &rows[i]);
        rows[list->row_count++] = rows[i];
    }
    list->rows = rows;
}
