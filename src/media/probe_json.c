/* SPDX-License-Identifier: Apache-2.0
 *
 * What ffprobe prints, as an info.
 */
#include "media/media_internal.h"

#include <math.h>
#include <tallwide/jsonio.h>

#define SIDE_LIMIT 1000000

/* ---- values: ffprobe writes many numbers as text --------------------------------------------------------- */

static tw_str text_of(const tw_json *object, const char *name)
{
    const tw_json *v = tw_json_get(object, name);
    return tw_json_is(v, TW_JSON_STRING) || tw_json_is(v, TW_JSON_NUMBER) ? v->text : (tw_str){NULL, 0};
}

static int64_t integer(const tw_json *object, const char *name, int64_t otherwise)
{
    int64_t n;
    return tw_num_int(text_of(object, name), &n) ? n : otherwise;
}

static bool seconds(const tw_json *object, const char *name, double *out)
{
    return tw_num_double(text_of(object, name), out);
}

/* "24000/1001", "16:15": both parts positive. */
static bool ratio(tw_str s, char between, int64_t *num, int64_t *den)
{
    size_t at = 0;
    while (at < s.len && s.at[at] != between)
        at++;
    return at < s.len && tw_num_int(tw_str_cut(s, at), num) && tw_num_int(tw_str_from(s, at + 1), den) && *num > 0 &&
           *den > 0 && *num <= INT32_MAX && *den <= INT32_MAX;
}

/* ---- streams --------------------------------------------------------------------------------------------- */

static bool is_set(const tw_json *stream, const char *disposition)
{
    return integer(tw_json_get(stream, "disposition"), disposition, 0) != 0;
}

/* The first moving picture; a cover picture is none. */
static const tw_json *find_picture(const tw_json *streams)
{
    for (const tw_json *s = tw_json_first(streams); s != NULL; s = s->next)
        if (tw_str_is(text_of(s, "codec_type"), "video") && !is_set(s, "attached_pic") && integer(s, "width", 0) > 0)
            return s;
    return NULL;
}

static void take_sounds(const tw_json *streams, tw_media_info *info)
{
    for (const tw_json *s = tw_json_first(streams); s != NULL; s = s->next) {
        if (!tw_str_is(text_of(s, "codec_type"), "audio") || info->sound_count == TW_MEDIA_SOUNDS)
            continue;
        info->sounds[info->sound_count++] = (tw_media_sound){
            .stream = (int32_t)integer(s, "index", 0),
            .channels = (int32_t)integer(s, "channels", 0),
            .rate = (int32_t)integer(s, "sample_rate", 0),
        };
    }
}

static int32_t rotation_of(const tw_json *stream)
{
    double degrees = 0;
    bool found = false;
    for (const tw_json *d = tw_json_first(tw_json_get(stream, "side_data_list")); d != NULL && !found; d = d->next)
        found = seconds(d, "rotation", &degrees);
    if (!found || !(fabs(degrees) < 100000))
        return 0;
    long turns = lround(degrees / 90);
    return (int32_t)(((turns % 4) + 4) % 4 * 90);
}

static void take_size(const tw_json *stream, tw_media_info *info)
{
    int64_t num, den, w = integer(stream, "width", 0), h = integer(stream, "height", 0);
    info->rotation = rotation_of(stream);
    bool turned = info->rotation % 180 != 0;
    info->width = (int32_t)(turned ? h : w);
    info->height = (int32_t)(turned ? w : h);
    info->squeeze = 1;
    if (ratio(text_of(stream, "sample_aspect_ratio"), ':', &num, &den))
        info->squeeze = turned ? (double)den / (double)num : (double)num / (double)den;
}

/* Recorded rates are a few; a file says them rounded now and then. Pictures whose mean rate is off the nominal one by
 * more than a thousandth are unevenly spaced: the nominal one is then what they were meant to be shown at. */
static void take_rate(const tw_json *stream, tw_media_info *info)
{
    int64_t num, den;
    double nominal = 0, mean = 0;
    if (ratio(text_of(stream, "r_frame_rate"), '/', &num, &den))
        nominal = (double)num / (double)den;
    if (ratio(text_of(stream, "avg_frame_rate"), '/', &num, &den))
        mean = (double)num / (double)den;
    if (!(nominal > 0))
        nominal = mean;
    if (!(mean > 0))
        mean = nominal;
    info->variable = fabs(mean - nominal) > nominal / 1000;
    /* A nominal rate far above the mean is a common multiple of all spacings, not a rate. */
    double fps = nominal > mean * 1.5 ? mean : nominal;
    if (!tw_rate_snap(fps, &info->rate, NULL))
        info->rate = (tw_rate){0, 0};
}

static bool one_of(tw_str s, const char *const *names)
{
    for (; *names != NULL; names++)
        if (tw_str_is(s, *names))
            return true;
    return false;
}

/* One picture in a file of its own. */
static bool is_still(tw_str format, int64_t frames, double length)
{
    size_t n = format.len;
    bool piped = n > 5 && tw_str_is(tw_str_from(format, n - 5), "_pipe");
    return (piped || tw_str_is(format, "image2")) && frames <= 1 && !(length > 0.5);
}

static void take_length(const tw_json *stream, const tw_json *format, tw_media_info *info)
{
    int64_t units = integer(stream, "duration_ts", 0);
    double whole = 0, fps = tw_rate_fps(info->rate);
    info->frames = integer(stream, "nb_frames", 0);
    if (!tw_rate_known(info->rate))
        return;
    if (units > 0)
        info->frames = llround((double)units * tw_time_seconds(info->time_base) * fps);
    else if (info->frames <= 0 && seconds(format, "duration", &whole) && whole > info->lead && whole < 1e9)
        info->frames = llround((whole - info->lead) * fps);
}

/* Where the stream begins on the file's clock, and how far ahead of a picture decoding must begin. Files with an index
 * are entered at the nearest key picture by ffmpeg itself, up to the few pictures by which decoding order runs ahead;
 * in files without one it lands anywhere near. */
static void take_clock(const tw_json *stream, const tw_json *format, tw_media_info *info)
{
    static const char *const indexed[] = {"mov,mp4,m4a,3gp,3g2,mj2", "matroska,webm", "mxf", "nut", NULL};
    int64_t num, den;
    double begins = 0, file_begins = 0;
    info->time_base =
        ratio(text_of(stream, "time_base"), '/', &num, &den) ? tw_time_make(num, den) : tw_time_make(1, 1000000);
    info->first_pts = integer(stream, "start_pts", 0);
    if (seconds(stream, "start_time", &begins) && seconds(format, "start_time", &file_begins))
        info->lead = begins - file_begins;
    if (!(info->lead >= 0 && info->lead < 1e6))
        info->lead = 0;
    bool reorders = integer(stream, "has_b_frames", 0) > 0;
    info->margin = one_of(text_of(format, "format_name"), indexed) ? (reorders ? 0.25 : 0) : 3;
}

/* ---- tags ------------------------------------------------------------------------------------------------ */

typedef bool (*tag_fn)(tw_media_info *info, tw_str value);

static bool take_start(tw_media_info *info, tw_str value)
{
    tw_tc tc;
    tw_rate rate = info->rate;
    if (!tw_rate_known(rate) || tw_tc_split(tw_str_trim(value), &tc, NULL) != TW_TC_FINE)
        return false;
    bool drop = tc.semicolon && tw_rate_can_drop(rate);
    if (tw_tc_frames(tc, rate, drop, &info->start) != TW_TC_FINE)
        return false;
    info->drop = drop;
    info->has_start = true;
    return true;
}

static bool take_reel(tw_media_info *info, tw_str value)
{
    info->reel = tw_str_trim(value);
    return info->reel.len > 0;
}

/* Tag names end in one of these, behind a maker's prefix with a dot; case differs. */
static bool is_named(tw_str key, const char *const *names)
{
    size_t dot = key.len;
    while (dot > 0 && key.at[dot - 1] != '.')
        dot--;
    for (; *names != NULL; names++)
        if (tw_str_ieq(tw_str_from(key, dot), tw_str_z(*names)))
            return true;
    return false;
}

static bool search(const tw_json *tags, const char *const *names, tag_fn take, tw_media_info *info)
{
    for (const tw_json *t = tw_json_first(tags); t != NULL; t = t->next)
        if (tw_json_is(t, TW_JSON_STRING) && is_named(t->key, names) && take(info, t->text))
            return true;
    return false;
}

/* The picture stream knows best, then a time code stream, then the file. */
static void take_tag(const tw_json *root, const tw_json *picture, const char *const *names, tag_fn take,
                     tw_media_info *info)
{
    if (search(tw_json_get(picture, "tags"), names, take, info))
        return;
    for (const tw_json *s = tw_json_first(tw_json_get(root, "streams")); s != NULL; s = s->next)
        if (search(tw_json_get(s, "tags"), names, take, info))
            return;
    search(tw_json_get(tw_json_get(root, "format"), "tags"), names, take, info);
}

/* ---- all of it ------------------------------------------------------------------------------------------- */

static bool is_rgb(tw_str format)
{
    static const char *const heads[] = {"rgb", "bgr", "gbr", "argb", "abgr", "0rgb", "0bgr", "pal8", "x2rgb", "x2bgr"};
    for (size_t i = 0; i < TW_COUNT(heads); i++)
        if (tw_str_starts(format, tw_str_z(heads[i])))
            return true;
    return false;
}

static void take_picture(const tw_json *root, const tw_json *picture, tw_media_info *info)
{
    static const char *const start_names[] = {"timecode", NULL};
    const tw_json *format = tw_json_get(root, "format");
    double length = 0;
    info->stream = (int32_t)integer(picture, "index", 0);
    info->rgb = is_rgb(text_of(picture, "pix_fmt"));
    take_size(picture, info);
    take_clock(picture, format, info);
    seconds(format, "duration", &length);
    info->still = is_still(text_of(format, "format_name"), integer(picture, "nb_frames", 0), length);
    if (info->still)
        info->frames = 1;
    else {
        take_rate(picture, info);
        take_length(picture, format, info);
        take_tag(root, picture, start_names, take_start, info);
    }
}

static void take_rest(const tw_json *root, const tw_json *picture, tw_media_info *info)
{
    static const char *const reel_names[] = {"reel_name", "reel", "reelname", "tape_name", "tape", NULL};
    take_tag(root, picture, reel_names, take_reel, info);
    if (!seconds(tw_json_get(root, "format"), "duration", &info->seconds) ||
        !(info->seconds > 0 && info->seconds < 1e9))
        info->seconds = 0;
}

/* Broadcast wave files count samples since midnight (EBU Tech 3285). */
static void take_sound_clock(const tw_json *root, tw_media_info *info)
{
    const tw_json *tags = tw_json_get(tw_json_get(root, "format"), "tags");
    int64_t samples = integer(tags, "time_reference", -1), rate = info->sounds[0].rate;
    info->has_clock = samples >= 0 && rate > 0 && samples < (int64_t)1 << 40;
    if (info->has_clock)
        info->clock = tw_time_make(samples, rate);
}

static bool usable(const tw_media_info *info)
{
    return info->stream < 0 || (info->width <= SIDE_LIMIT && info->height >= 1 && info->height <= SIDE_LIMIT &&
                                (info->still || tw_rate_known(info->rate)));
}

tw_status tw_media_read_probe(tw_arena *arena, tw_str json, tw_str path, tw_diags *diags, tw_media_info *out)
{
    static const tw_json_options options = {.duplicates_warn = true};
    tw_json_doc doc = {.root = NULL};
    tw_diags *own = tw_diags_new(arena); /* what is wrong with the text means nothing to whoever named the file */
    if (tw_json_read(arena, json, path, &options, own, &doc) != TW_OK) {
        tw_diag_add(diags, 2102, TW_IN(path), "what ffprobe says of it cannot be read");
        return TW_ERR_SEMANTIC;
    }
    const tw_json *streams = tw_json_get(doc.root, "streams"), *picture = find_picture(streams);
    tw_media_info info = {.path = tw_arena_dup(arena, path), .stream = -1};
    take_sounds(streams, &info);
    if (picture == NULL && info.sound_count == 0) {
        tw_diag_add(diags, 2102, TW_IN(path), "holds neither picture nor sound");
        return TW_ERR_SEMANTIC;
    }
    if (picture != NULL)
        take_picture(doc.root, picture, &info);
    else
        take_sound_clock(doc.root, &info);
    take_rest(doc.root, picture, &info);
    if (!usable(&info)) {
        tw_diag_add(diags, 2102, TW_IN(path), "does not say how large its pictures are or how many make a second");
        return TW_ERR_SEMANTIC;
    }
    info.reel = tw_arena_dup(arena, info.reel);
    *out = info;
    return TW_OK;
}
