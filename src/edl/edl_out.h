/* SPDX-License-Identifier: Apache-2.0
 *
 * Writing a new list: tracks become rows of events (edl_collect), rows are merged and numbered (edl_write), lines are
 * set in the classic columns (edl_line).
 */
#ifndef TW_EDL_OUT_H
#define TW_EDL_OUT_H

#include "edl_internal.h"

/* What a list cannot carry is counted and said once per kind, at the first item concerned. */
typedef enum twi_loss {
    TWI_LOSS_DISABLED,
    TWI_LOSS_NEST,
    TWI_LOSS_UNFOLDED,
    TWI_LOSS_EMPTY,
    TWI_LOSS_MIX,
    TWI_LOSS_MIX_OFF,
    TWI_LOSS_MEDIA,
    TWI_LOSS_GENERATOR,
    TWI_LOSS_TEXT,
    TWI_LOSS_REMARK,
    TWI_LOSS_SUBFRAME,
    TWI_LOSS_MARKER,
    TWI_LOSS_TRACK,
    TWI_LOSS_SOURCE_RATE,
    TWI_LOSS_SOURCE_COUNT,
    TWI_LOSS_SPEED,
    TWI_LOSS_VARIABLE,
    TWI_LOSS_OVERLAP,
    TWI_LOSS_REEL_CUT,
    TWI_LOSS_REEL_SAME,
    TWI_LOSS_SHORT_MEDIA,
    TWI_LOSS_RECORD_DAY,
    TWI_LOSS_SOURCE_DAY,
    TWI_LOSSES
} twi_loss;

typedef struct twi_out_event {
    const tw_item *item; /* NULL: black that ends a fade */
    uint32_t channels;
    uint16_t video; /* 1, or 0 for sound */
    int64_t in, out;
    int64_t source_in, source_span;
    int64_t moved; /* frames by which it begins earlier than the item, for its keys and markers */
    twi_cut cut;
    uint16_t wipe;
    int64_t mix;
    const tw_item *from; /* outgoing side; NULL: black */
    int64_t from_source;
    bool from_long; /* the first line of the pair has a length: from_in and from_start are where it begins */
    int64_t from_in, from_start;
    bool merged;            /* is that first line: no event of its own */
    tw_str reel, from_reel; /* as written */
    size_t order;
} twi_out_event;

typedef struct twi_out {
    tw_arena *arena;
    const tw_timeline *timeline;
    const tw_write_options *options;
    tw_diags *diags;
    twi_out_event *events;
    size_t count, cap;
    struct {
        size_t count;
        const tw_item *first;
    } lost[TWI_LOSSES];
    size_t reel_width, number_width;
    bool numbered; /* items bring their own numbers */
    tw_str end;
    bool source_drop; /* frame code mode last written */
    tw_buf *text;
} twi_out;

void twi_edl_lose(twi_out *out, twi_loss loss, const tw_item *item);
void twi_edl_say_losses(const twi_out *out);

/* Frames of a moment; a fraction is rounded and counted as a loss. */
int64_t twi_edl_whole(twi_out *out, tw_time t, tw_rate rate, const tw_item *item);

/* The track with its plain nested timelines replaced by the clips in them, cut to what is shown. */
tw_track twi_edl_unfold(twi_out *out, const tw_track *track);

/* Adds the events of one track. */
void twi_edl_collect(twi_out *out, const tw_track *track, uint16_t video, uint32_t channels);

/* Can a clock of 24 hours tell the times of all events? Else what cannot be told is a finding. */
bool twi_edl_fits_clock(twi_out *out);

/* Gives every event its reel as written: ASCII, eight characters, told apart, or whole. */
void twi_edl_reels(twi_out *out);

/* The reel that is meant, as it would be written if all could. */
tw_str twi_edl_full_reel(const tw_item *item);

/* ASCII, no control characters, transliterated where it can be, no longer than half a line may be; the same as one
 * word. */
tw_str twi_edl_ascii(twi_out *out, tw_str text, const tw_item *item);
tw_str twi_edl_one_word(twi_out *out, tw_str text, const tw_item *item);

/* A line as it was read from a list. Whoever made the file it now comes from may have put in anything: what would be
 * read as several lines, or as something that the writer says itself, becomes a remark. */
tw_str twi_edl_remark(twi_out *out, tw_str text, const tw_item *item);

/* Appends an event with all that belongs to it. */
void twi_edl_put_event(twi_out *out, const twi_out_event *e, size_t number);

tw_rate twi_edl_source_rate(const twi_out *out, const tw_item *item);

#endif
