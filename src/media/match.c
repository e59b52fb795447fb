/* SPDX-License-Identifier: Apache-2.0
 *
 * Which file holds what an edit shows: by name first, then by time code.
 */
#include "media/media_internal.h"

#include <math.h>

#define CUT_OFF 8 /* characters of a reel in a classic text list */

/* How a file belongs to a name; the more the better. */
typedef enum bond { BOND_NONE, BOND_FOLDER, BOND_BEGINS, BOND_NAME, BOND_TAG } bond;

/* ---- names ----------------------------------------------------------------------------------------------- */

static bool is_word(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* Does the name begin with these letters and digits, whatever stands between them? */
static bool begins_loosely(tw_str name, tw_str head)
{
    size_t n = 0;
    for (size_t h = 0; h < head.len; h++) {
        if (!is_word(head.at[h]))
            continue;
        while (n < name.len && !is_word(name.at[n]))
            n++;
        if (n == name.len || !tw_str_ieq((tw_str){name.at + n, 1}, (tw_str){head.at + h, 1}))
            return false;
        n++;
    }
    return true;
}

static bool has_folder(tw_str path, tw_str name)
{
    size_t begin = 0;
    for (size_t i = 0; i < path.len; i++) {
        if (path.at[i] != '/' && path.at[i] != '\\')
            continue;
        if (tw_str_ieq((tw_str){path.at + begin, i - begin}, name))
            return true;
        begin = i + 1;
    }
    return false;
}

static bond bond_of(const tw_media_file *file, tw_str name)
{
    tw_str stem = tw_str_stem(file->path);
    if (name.len == 0)
        return BOND_NONE;
    if (tw_str_ieq(file->reel, name))
        return BOND_TAG;
    if (tw_str_ieq(stem, name) || tw_str_ieq(tw_str_basename(file->path), name))
        return BOND_NAME;
    if (tw_str_istarts(stem, name) && !is_word(stem.at[name.len]))
        return BOND_BEGINS;
    if (name.len == CUT_OFF && begins_loosely(stem, name))
        return BOND_BEGINS;
    /* A card's folder, unless the file says it is of another. */
    return file->reel.len == 0 && has_folder(file->path, name) ? BOND_FOLDER : BOND_NONE;
}

static bond best_bond(const tw_media_file *file, const tw_str *names, size_t count)
{
    bond best = BOND_NONE;
    for (size_t i = 0; i < count; i++) {
        bond b = bond_of(file, names[i]);
        best = b > best ? b : best;
    }
    return best;
}

bool tw_media_named(const tw_media_file *file, const tw_str *names, size_t count)
{
    return best_bond(file, names, count) != BOND_NONE;
}

/* ---- times ----------------------------------------------------------------------------------------------- */

int64_t tw_media_frame_of(const tw_media_file *file, const tw_media_want *want, double source_frame)
{
    if (file->still)
        return 0;
    /* Time code counts whole frames a second: two clocks agree on labels, not on seconds. */
    double ratio = 1;
    if (tw_rate_known(file->rate) && tw_rate_known(want->rate))
        ratio = (double)tw_rate_count(file->rate) / tw_rate_count(want->rate);
    double start = file->has_start ? (double)file->start : want->has_base ? (double)want->base * ratio : 0;
    return (int64_t)floor(source_frame * ratio - start + 1e-6);
}

typedef enum cover { COVER_NONE, COVER_PART, COVER_WHOLE } cover;

static cover cover_of(const tw_media_file *file, const tw_media_want *want)
{
    if (file->still)
        return COVER_WHOLE;
    int64_t first = tw_media_frame_of(file, want, (double)want->in);
    int64_t last = tw_media_frame_of(file, want, (double)(want->out > want->in ? want->out - 1 : want->in));
    bool ends = file->frames > 0;
    if (last < 0 || (ends && first >= file->frames))
        return COVER_NONE;
    return first >= 0 && (!ends || last < file->frames) ? COVER_WHOLE : COVER_PART;
}

/* How far the stretch lies off the file, in its frames. */
static int64_t distance(const tw_media_file *file, const tw_media_want *want)
{
    int64_t first = tw_media_frame_of(file, want, (double)want->in),
            last = tw_media_frame_of(file, want, (double)want->out);
    return last < 0 ? -last : first - file->frames;
}

/* ---- choosing -------------------------------------------------------------------------------------------- */

static int64_t area(const tw_media_file *file)
{
    return (int64_t)file->width * file->height;
}

/* Better as an original: holds more of it, is no proxy, is surer by name, is larger. */
static bool better(const tw_media_file *a, const tw_media_file *b, const tw_media_want *want)
{
    const int order[] = {
        (int)cover_of(a, want) - (int)cover_of(b, want),
        (int)b->proxy - (int)a->proxy,
        (int)best_bond(a, want->names, want->name_count) - (int)best_bond(b, want->names, want->name_count),
    };
    for (size_t i = 0; i < TW_COUNT(order); i++)
        if (order[i] != 0)
            return order[i] > 0;
    return area(a) > area(b);
}

/* Neither is better, and they are not one recording in two places. */
static bool rivals(const tw_media_file *a, const tw_media_file *b, const tw_media_want *want)
{
    bool copy = a->start == b->start && a->frames == b->frames &&
                tw_str_ieq(tw_str_basename(a->path), tw_str_basename(b->path));
    return !want->sound && !copy && !better(a, b, want) && !better(b, a, want);
}

static bool is_candidate(const tw_media_file *file, const tw_media_want *want)
{
    bool fits = want->sound ? file->sound : file->width > 0;
    return fits && tw_media_named(file, want->names, want->name_count);
}

static void note_miss(tw_media_match *m, const tw_media_file *files, size_t index, const tw_media_want *want)
{
    tw_media_miss miss = files[index].has_start ? TW_MISS_TIME : TW_MISS_NO_TIME;
    if (m->near != TW_MEDIA_NONE && miss == TW_MISS_TIME && m->miss == TW_MISS_TIME &&
        distance(&files[m->near], want) <= distance(&files[index], want))
        return;
    if (m->near == TW_MEDIA_NONE || miss == TW_MISS_TIME) {
        m->miss = miss;
        m->near = index;
    }
}

tw_media_match tw_media_find(const tw_media_file *files, size_t count, const tw_media_want *want)
{
    tw_media_match m = {TW_MISS_NAME, TW_MEDIA_NONE, TW_MEDIA_NONE, false, TW_MEDIA_NONE, TW_MEDIA_NONE};
    size_t best = TW_MEDIA_NONE;
    for (size_t i = 0; i < count; i++) {
        if (!is_candidate(&files[i], want))
            continue;
        if (cover_of(&files[i], want) == COVER_NONE)
            note_miss(&m, files, i, want);
        else if (best == TW_MEDIA_NONE || better(&files[i], &files[best], want))
            best = i;
    }
    if (best == TW_MEDIA_NONE)
        return m;
    cover all = cover_of(&files[best], want);
    m.miss = TW_MISS_NONE;
    m.original = files[best].proxy ? TW_MEDIA_NONE : best;
    m.whole = all == COVER_WHOLE;
    m.near = TW_MEDIA_NONE;
    for (size_t i = 0; i < count; i++) {
        bool same = is_candidate(&files[i], want) && cover_of(&files[i], want) == all;
        if (i != best && same && m.rival == TW_MEDIA_NONE && rivals(&files[i], &files[best], want))
            m.rival = i;
        bool smaller = same && (files[best].proxy || area(&files[i]) < area(&files[best]));
        if (smaller && (m.proxy == TW_MEDIA_NONE || area(&files[i]) < area(&files[m.proxy])))
            m.proxy = i;
    }
    return m;
}

/* ---- from what was probed -------------------------------------------------------------------------------- */

static bool says_proxy(tw_str path)
{
    return tw_str_glob(TW_STR("*proxy*"), path) || tw_str_glob(TW_STR("*proxies*"), path);
}

tw_media_file tw_media_file_of(const tw_media_info *info, tw_rate rate)
{
    tw_media_file file = {
        .path = info->path,
        .reel = info->reel,
        .rate = info->rate,
        .has_start = info->has_start,
        .start = info->start,
        .frames = info->frames,
        .width = info->width,
        .height = info->height,
        .still = info->still,
        .sound = info->sound_count > 0,
        .proxy = says_proxy(info->path),
    };
    if (info->stream < 0 && tw_rate_known(rate)) {
        file.rate = rate;
        file.frames = (int64_t)floor(info->seconds * tw_rate_fps(rate));
        file.has_start = info->has_clock;
        file.start = info->has_clock ? tw_time_floor(info->clock, rate) : 0;
    }
    return file;
}
