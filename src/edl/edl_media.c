/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

static void set(tw_str *to, tw_str value)
{
    if (to->len == 0)
        *to = value;
}

static bool is_pair(const twi_event *e)
{
    return e->cut != TWI_CUT && e->cut != TWI_KEY_BACK;
}

static void take(const twi_note *note, bool pair, twi_naming *own, twi_naming *from)
{
    twi_naming *outgoing = pair ? from : own;
    tw_str value = twi_edl_value(note);
    switch (note->kind) {
    case TWI_NOTE_FROM_NAME: set(&outgoing->name, value); break;
    case TWI_NOTE_TO_NAME: set(&own->name, value); break;
    case TWI_NOTE_FROM_PATH: set(&outgoing->path, value); break;
    case TWI_NOTE_TO_PATH: set(&own->path, value); break;
    case TWI_NOTE_REEL: set(&own->reel, value); break;
    case TWI_NOTE_SOURCE_FILE: /* of two below a pair the first is the outgoing one; a single one is the incoming */
        if (pair && own->source_file.len > 0) {
            set(&from->source_file, own->source_file);
            own->source_file = value;
        }
        set(&own->source_file, value);
        break;
    default: break;
    }
}

tw_str twi_edl_source_file(const twi_list *list, const twi_event *e)
{
    twi_naming own = {.name = {NULL, 0}}, from = own;
    TWI_EACH_NOTE (note, list, e, TWI_NOTE_SOURCE_FILE)
        take(note, is_pair(e), &own, &from);
    return own.source_file;
}

#define NAMES                                                                                                          \
    (TWI_KIND(TWI_NOTE_FROM_NAME) | TWI_KIND(TWI_NOTE_TO_NAME) | TWI_KIND(TWI_NOTE_FROM_PATH) |                        \
     TWI_KIND(TWI_NOTE_TO_PATH) | TWI_KIND(TWI_NOTE_REEL) | TWI_KIND(TWI_NOTE_SOURCE_FILE))

/* The line below which an event's names stand: its own, or where that has none the line of the same event with the
 * sound (or picture) of the same source, in step with it. */
static const twi_event *named_at(const twi_list *list, const twi_event *e)
{
    const twi_event *end = list->events + list->event_count;
    int32_t step = e->frame[TWI_SRC_IN] - e->frame[TWI_REC_IN];
    for (const twi_event *n = e; n < end && n < e + TWI_EDL_NEAR; n++) {
        if (!tw_str_eq(twi_edl_word(n, TWI_NUMBER), twi_edl_word(e, TWI_NUMBER)))
            return e;
        if ((n->kinds & NAMES) && n->cut == e->cut && n->frame[TWI_SRC_IN] - n->frame[TWI_REC_IN] == step &&
            tw_str_eq(twi_edl_word(n, TWI_REEL), twi_edl_word(e, TWI_REEL)))
            return n;
    }
    return e;
}

void twi_edl_naming(const twi_list *list, const twi_event *e, twi_naming *own, twi_naming *from)
{
    *own = *from = (twi_naming){.name = {NULL, 0}};
    bool pair = is_pair(e);
    const twi_event *named = named_at(list, e);
    for (size_t i = 0; i < named->notes; i++)
        take(&list->notes[named->note + i], pair, own, from);
    bool from_black = !e->paired || e[-1].black;
    if (pair && from_black && own->name.len == 0) { /* black has no name: the one given is the picture's */
        own->name = from->name;
        from->name = (tw_str){NULL, 0};
    }
}

static size_t next_kept(tw_str s, size_t i)
{
    while (i < s.len && (unsigned char)s.at[i] < 0x80 && !tw_is_digit(s.at[i]) &&
           !((s.at[i] | 0x20) >= 'a' && (s.at[i] | 0x20) <= 'z'))
        i++;
    return i;
}

/* Does it begin so, but for what is no letter or digit? Writers of lists leave that out of the column. */
static bool begins(tw_str full, tw_str column)
{
    size_t f = next_kept(full, 0), c = next_kept(column, 0);
    for (; c < column.len; c = next_kept(column, c + 1), f = next_kept(full, f + 1))
        if (f >= full.len || !tw_str_ieq((tw_str){full.at + f, 1}, (tw_str){column.at + c, 1}))
            return false;
    return true;
}

/* Is the column our own unique form: the beginning of a name with so many digits that it has eight characters, or all
 * of one that was changed to be ASCII? */
static bool is_numbered(tw_str column, tw_str plain, bool changed)
{
    for (size_t head = column.len; head-- > 1 && tw_is_digit(column.at[head]);)
        if (column.len - head >= 3 && tw_str_istarts(plain, tw_str_cut(column, head)) &&
            ((column.len == 8 && plain.len > 8) || (changed && head == plain.len)))
            return true;
    return false;
}

/* Is `full` the whole name of the reel in this column: the column is its beginning, its form in ASCII, or our own
 * unique form of it? A column that stands for any source may have any name. */
static bool reel_extends(tw_arena *arena, tw_str column, tw_str full)
{
    if (full.len == 0)
        return false;
    if (column.len == 0 || tw_str_ieq(column, TW_STR("AX")) || (full.len > column.len && begins(full, column)))
        return true;
    tw_str plain = twi_edl_reel_ascii(arena, full);
    bool changed = !tw_str_eq(plain, full);
    return (changed && (plain.len > column.len ? begins(plain, column) : tw_str_ieq(plain, column))) ||
           is_numbered(column, plain, changed);
}

bool twi_edl_other_reel(const twi_list *list, const twi_event *e, tw_str *said)
{
    const twi_note *note = twi_edl_next_note(list, e, TWI_NOTE_REEL, NULL);
    tw_str column = twi_edl_word(e, TWI_REEL);
    *said = note != NULL ? twi_edl_value(note) : column;
    return !is_pair(e) && !tw_str_ieq(column, *said) && !reel_extends(list->arena, column, *said);
}

/* Does it say where the file is? "/cards/A003.mov", "\\store\A003.mov", "D:\cards\A003.mov", "file:///cards/A003.mov"; a
 * name may hold a slash ("CAM 1/2"). */
static bool is_path(tw_str s)
{
    size_t letters = 0;
    while (letters < s.len && ((s.at[letters] | 0x20) >= 'a' && (s.at[letters] | 0x20) <= 'z'))
        letters++;
    tw_str rest = tw_str_from(s, letters);
    if (letters == 0)
        return tw_str_starts(rest, TW_STR("/")) || tw_str_starts(rest, TW_STR("\\\\"));
    return tw_str_starts(rest, TW_STR(":/")) || tw_str_starts(rest, TW_STR(":\\"));
}

/* "name.[1001-1020].exr" is an image sequence. */
static bool is_sequence(tw_str path)
{
    tw_str base = tw_str_basename(path);
    for (size_t i = 0; i + 1 < base.len; i++)
        if (base.at[i] == '[' && tw_is_digit(base.at[i + 1]))
            return true;
    return false;
}

static tw_media *new_media(tw_arena *arena, const twi_naming *naming)
{
    tw_media *m = TW_NEW(arena, tw_media);
    *m = (tw_media){.kind = TW_MEDIA_MISSING, .key = TW_STR("DEFAULT_MEDIA"), .name = naming->source_file};
    m->url = naming->path.len == 0 && is_path(naming->source_file) ? naming->source_file : naming->path;
    if (m->url.len > 0)
        m->kind = is_sequence(m->url) ? TW_MEDIA_IMAGES : TW_MEDIA_FILE;
    return m;
}

void twi_edl_name(twi_list *list, const twi_naming *naming, tw_item *item)
{
    set(&item->name, naming->name);
    if (reel_extends(list->arena, item->reel, naming->reel))
        item->reel = naming->reel;
    if (item->media_count == 0 && (naming->source_file.len > 0 || naming->path.len > 0)) {
        item->media = new_media(list->arena, naming);
        item->media_count = 1;
        item->media_active = 0;
    }
}
