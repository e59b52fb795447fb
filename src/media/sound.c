/* SPDX-License-Identifier: Apache-2.0
 *
 * Sound of a file, as pairs of samples.
 */
#include "media/media_internal.h"

#include <math.h>

#define PAIRS 4096 /* given at a time */

const char *twi_media_samples(void)
{
    static const uint16_t one = 1;
    return *(const uint8_t *)&one == 1 ? "s16le" : "s16be";
}

#define SPARE 1 /* seconds read beyond, as changing the speed swallows some */

/* Which part of the file is read, in seconds. */
typedef struct part {
    double start, length;
} part;

static part part_of(const tw_sound_ask *ask)
{
    double length = (double)ask->samples / TW_SOUND_RATE * fabs(ask->speed) + SPARE;
    if (ask->speed > 0)
        return (part){ask->start, length};
    double start = tw_max(ask->start - length, 0);
    return (part){start, ask->start - start};
}

static void add_number(tw_buf *f, const char *name, double value)
{
    tw_buf_addf(f, ",%s=", name);
    tw_buf_add_fixed(f, value, 6);
}

/* One filter goes down to half speed; a row of them further. */
static void add_speed(tw_buf *f, double speed)
{
    for (; speed < 0.5; speed *= 2)
        add_number(f, "atempo", 0.5);
    if (speed < 1 || speed > 1)
        add_number(f, "atempo", speed);
}

/* Whole samples are cut by number, after the time has brought us near: the time alone is exact to the packet only. */
static char *filter_of(tw_arena *arena, const tw_media_info *info, const tw_sound_ask *ask)
{
    tw_buf f = {.arena = arena};
    int channel = ask->channel;
    for (size_t i = 0; i < info->sound_count; i++) /* by itself ffmpeg would give each side less of it */
        if (info->sounds[i].stream == ask->stream && info->sounds[i].channels == 1)
            channel = 0;
    if (channel >= 0)
        tw_buf_addf(&f, "pan=stereo|c0=c%d|c1=c%d,", channel, channel);
    tw_buf_addz(&f, "aresample=48000");
    if (ask->speed < 0) { /* what the file has no more of is silence ahead of the rest */
        long long whole = llround(part_of(ask).length * TW_SOUND_RATE);
        tw_buf_addf(&f, ",apad=whole_len=%lld,atrim=end_sample=%lld,areverse", whole, whole);
    }
    add_speed(&f, fabs(ask->speed));
    tw_buf_addf(&f, ",apad,atrim=end_sample=%lld", (long long)ask->samples);
    tw_buf_addc(&f, '\0');
    return f.at;
}

static void make_args(twi_args *args, const tw_media_tools *tools, const tw_media_info *info, const tw_sound_ask *ask)
{
    const part read = part_of(ask);
    twi_media_decode(args, tools, "level+error");
    if (read.start > 0)
        twi_args_seconds(args, "-ss", read.start);
    twi_args_seconds(args, "-t", read.length);
    twi_media_input(args, info, ask->stream);
    twi_args_add(args, "-af");
    twi_args_add(args, filter_of(args->arena, info, ask));
    twi_args_list(args, (const char *const[]){"-ac", "2", "-f", twi_media_samples(), "pipe:1", NULL});
}

static twi_child_fault give(twi_child *child, tw_sound_fn take, void *context)
{
    int16_t pairs[2 * PAIRS];
    for (size_t got = sizeof pairs; got == sizeof pairs;) {
        twi_child_fault fault = twi_child_read(child, pairs, sizeof pairs, &got);
        if (fault != TWI_CHILD_FINE)
            return fault;
        if (got >= 4 && !take(context, pairs, got / 4))
            return TWI_CHILD_FINE;
    }
    return twi_child_finish(child);
}

tw_status tw_media_sound_read(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                              const tw_sound_ask *ask, tw_diags *diags, tw_sound_fn take, void *context)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_args args = {.arena = scratch};
    make_args(&args, tools, info, ask);
    const twi_child_ask child_ask = {.args = &args, .stop = tools->stop};
    twi_child *child = NULL;
    twi_child_fault fault = twi_child_start(scratch, &child_ask, &child);
    if (fault == TWI_CHILD_FINE)
        fault = give(child, take, context);
    tw_status status = twi_child_tell(fault, child, args.at[0], 2103, info->path, "its sound cannot be decoded", diags);
    twi_child_end(&child);
    tw_arena_free(&scratch);
    return status;
}
