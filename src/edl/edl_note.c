/* SPDX-License-Identifier: Apache-2.0 */
#include <string.h>

#include "edl_internal.h"

#define KEY(literal)                                                                                                   \
    {                                                                                                                  \
        (literal), sizeof(literal) - 1                                                                                 \
    }

/* Keys of remarks, those that begin another one after it. */
static const struct key {
    tw_str text;
    twi_note_kind kind;
    bool colon; /* must be followed by ':' */
} keys[] = {
    {KEY("FROM CLIP NAME"), TWI_NOTE_FROM_NAME, true},
    {KEY("TO CLIP NAME"), TWI_NOTE_TO_NAME, true},
    {KEY("FROM CLIP"), TWI_NOTE_FROM_PATH, true},
    {KEY("FROM FILE"), TWI_NOTE_FROM_PATH, true},
    {KEY("TO CLIP"), TWI_NOTE_TO_PATH, true},
    {KEY("TO FILE"), TWI_NOTE_TO_PATH, true},
    {KEY("SOURCE FILE"), TWI_NOTE_SOURCE_FILE, true},
    {KEY("REEL"), TWI_NOTE_REEL, true},
    {KEY("LOC"), TWI_NOTE_LOC, true},
    {KEY("ASC_SOP"), TWI_NOTE_SOP, false},
    {KEY("ASC SOP"), TWI_NOTE_SOP, false},
    {KEY("ASC_SAT"), TWI_NOTE_SAT, false},
    {KEY("ASC SAT"), TWI_NOTE_SAT, false},
    {KEY("FREEZE FRAME"), TWI_NOTE_FREEZE, false},
    {KEY("TALLWIDE"), TWI_NOTE_OURS, false},
};

/* Statements without an asterisk. */
static const struct statement {
    tw_str text;
    twi_note_kind kind;
} statements[] = {
    {KEY("M2"), TWI_NOTE_M2},
    {KEY("AUD"), TWI_NOTE_AUD},
    {KEY("SPLIT:"), TWI_NOTE_SPLIT},
    {KEY(">>>"), TWI_NOTE_TRAILER},
    {KEY("REM"), TWI_NOTE_PLAIN},
    {KEY("GPI"), TWI_NOTE_PLAIN},
    {KEY("SWM"), TWI_NOTE_PLAIN},
    {KEY("M/S"), TWI_NOTE_PLAIN},
    {KEY("%"), TWI_NOTE_PLAIN},
    {KEY("SMPTE FRAME CODE"), TWI_NOTE_PLAIN},
    {KEY("RVTR"), TWI_NOTE_PLAIN},
    {KEY("EFFECTS NAME"), TWI_NOTE_PLAIN},
    {KEY("EFFECT NAME"), TWI_NOTE_PLAIN},
    {KEY("BLEND"), TWI_NOTE_PLAIN},
};

tw_place twi_edl_note_place(const twi_list *list, const twi_note *note)
{
    return (tw_place){
        .file = list->file, .line = note->line, .column = 1, .width = (uint32_t)note->text.len, .text = note->text};
}

const twi_note *twi_edl_next_note(const twi_list *list, const twi_event *event, twi_note_kind kind,
                                  const twi_note *last)
{
    const twi_note *first = list->notes + event->note, *end = first + event->notes;
    if (!(event->kinds & TWI_KIND(kind)))
        return NULL;
    for (const twi_note *note = last != NULL ? last + 1 : first; note < end; note++)
        if (note->kind == kind)
            return note;
    return NULL;
}

/* tw_str_istarts, most of which the first letter settles. */
static inline bool starts_with(tw_str s, tw_str key)
{
    if (s.len < key.len || (s.at[0] != key.at[0] && s.at[0] != key.at[0] + ('a' - 'A')))
        return false;
    return memcmp(s.at, key.at, key.len) == 0 || tw_str_istarts(s, key);
}

/* What follows the first n bytes, without the blanks before it. */
static tw_str after(tw_str s, size_t n)
{
    while (n < s.len && tw_is_blank(s.at[n]))
        n++;
    return tw_str_from(s, n);
}

/* The line ends where its body does. */
static void set_value(twi_note *note, tw_str value)
{
    note->value = (uint16_t)(note->text.len - value.len);
}

static bool find_key(tw_str body, twi_note *note)
{
    for (size_t i = 0; i < TW_COUNT(keys); i++) {
        if (!starts_with(body, keys[i].text))
            continue;
        tw_str rest = after(body, keys[i].text.len);
        bool colon = rest.len > 0 && rest.at[0] == ':';
        if (keys[i].colon && !colon)
            continue;
        note->kind = (uint8_t)keys[i].kind;
        set_value(note, colon ? after(rest, 1) : rest);
        return true;
    }
    return false;
}

static bool find_statement(tw_str text, twi_note *note)
{
    for (size_t i = 0; i < TW_COUNT(statements); i++) {
        tw_str key = statements[i].text;
        if (!starts_with(text, key))
            continue;
        char next = text.len > key.len ? text.at[key.len] : ' ';
        char last = key.at[key.len - 1];
        bool word = (last >= 'A' && last <= 'Z') || tw_is_digit(last);
        if (word && ((next >= 'A' && next <= 'Z') || (next >= 'a' && next <= 'z')))
            continue;
        note->kind = (uint8_t)statements[i].kind;
        set_value(note, after(text, key.len));
        return true;
    }
    return false;
}

static bool is_remark(tw_str text)
{
    return text.len > 0 && text.at[0] == '*';
}

static tw_str without_stars(tw_str text)
{
    size_t i = 0;
    while (i < text.len && (text.at[i] == '*' || tw_is_blank(text.at[i])))
        i++;
    return tw_str_from(text, i);
}

/* Fills kind and value of the line, given without blanks around it; false when it is no known statement or remark. */
static bool classify(tw_str body, twi_note *note)
{
    bool known = (!is_remark(body) && find_statement(body, note)) || find_key(without_stars(body), note);
    if (note->kind == TWI_NOTE_OURS && !twi_edl_is_ours(note->text))
        note->kind = TWI_NOTE_OTHER;
    return known;
}

twi_note_kind twi_edl_kind_of(tw_str text)
{
    twi_note note = {.text = text};
    classify(tw_str_trim(text), &note);
    return (twi_note_kind)note.kind;
}

static bool is_header(tw_str body)
{
    return starts_with(body, TW_STR("TITLE:")) || starts_with(body, TW_STR("FCM:"));
}

bool twi_edl_is_kept(tw_str text)
{
    const tw_str body = tw_str_trim(text);
    twi_note note = {.text = text};
    bool remark = is_remark(body), known = classify(body, &note);
    if (twi_edl_is_event(text, body) || (!remark && (is_header(body) || (!known && twi_edl_has_times(body)))))
        return false;
    return note.kind == TWI_NOTE_SPLIT || (TWI_KIND(note.kind) & TWI_RESAID) == 0;
}

/* A name longer than the line was wrapped into a further remark, with no blank between. */
#define WRAP_COLUMN 78

static void join_name(twi_list *list, const twi_note *note, tw_str body)
{
    twi_note *last = list->note_count > list->head_notes ? &list->notes[list->note_count - 1] : NULL;
    if (last == NULL || last->line + 1 != note->line || last->text.len < WRAP_COLUMN || last->text.len > 80)
        return;
    if (last->kind < TWI_NOTE_FROM_NAME || last->kind > TWI_NOTE_SOURCE_FILE)
        return;
    tw_str both =
        tw_arena_printf(list->arena, "%.*s%.*s%.*s", TW_ARG(last->text), TW_ARG(twi_edl_value(last)), TW_ARG(body));
    last->text = tw_str_cut(both, last->text.len);
    last->joined = true;
}

static void add_note(twi_list *list, const twi_note *note)
{
    TW_PUSH(list->arena, list->notes, list->note_count, list->note_cap) = *note;
    list->kinds |= TWI_KIND(note->kind);
    if (list->event_count == 0) {
        list->head_notes++;
    } else if (list->in_tail) {
        list->tail_notes++;
    } else {
        twi_event *e = &list->events[list->event_count - 1];
        e->notes++;
        e->kinds |= TWI_KIND(note->kind);
        if (note->kind != TWI_NOTE_SPLIT) /* which speaks of the lines below it */
            e->last_line = note->line;
    }
}

static void read_fcm(twi_list *list, const twi_note *note)
{
    tw_str mode = tw_str_trim(tw_str_from(tw_str_trim(note->text), 4));
    bool drop = tw_str_istarts(mode, TW_STR("DROP"));
    bool non = tw_str_istarts(mode, TW_STR("NON"));
    tw_place place = twi_edl_note_place(list, note);
    if (!drop && !non) {
        tw_diag_add(list->diags, 1222, &place, "\"%.*s\" is neither DROP FRAME nor NON-DROP FRAME; it is passed over",
                    TW_ARG(mode));
        return;
    }
    if (list->fcm_count > 0 && list->fcm[list->fcm_count - 1].drop != drop)
        tw_diag_add(list->diags, 1238, &place,
                    "the frame code mode changes to %s here: read as the mode of the sources that follow",
                    drop ? "drop frame" : "non-drop frame");
    TW_PUSH(list->scratch, list->fcm, list->fcm_count, list->fcm_cap) = (twi_fcm){note->line, note->text, drop};
}

static void count_unknown(twi_list *list, const twi_note *note)
{
    if (list->unknown_lines++ == 0)
        list->unknown_first = twi_edl_note_place(list, note);
}

static void read_title(twi_list *list, tw_str title, uint32_t line)
{
    if (list->bare.line != 0 && list->event_count == 0) { /* that was only some text above */
        add_note(list, &list->bare);
        count_unknown(list, &list->bare);
        list->bare.line = 0;
    }
    if (list->title_line == 0) {
        list->title = title;
        list->title_line = line;
    }
}

static bool read_header(twi_list *list, tw_str body, const twi_note *note)
{
    if (starts_with(body, TW_STR("TITLE:")))
        read_title(list, after(body, 6), note->line);
    else if (starts_with(body, TW_STR("FCM:")))
        read_fcm(list, note);
    else
        return false;
    if (list->event_count == 0)
        list->header_line = note->line;
    return true;
}

/* A line of text at the very top, which is the title where no TITLE line follows. */
static bool is_bare_title(const twi_list *list)
{
    return list->event_count == 0 && list->title_line == 0 && list->note_count == 0 && list->bare.line == 0;
}

void twi_edl_bare_title(twi_list *list)
{
    if (list->bare.line == 0)
        return;
    list->title = tw_str_trim(list->bare.text);
    list->header_line = list->header_line > 0 ? list->header_line : list->bare.line;
    tw_place place = twi_edl_note_place(list, &list->bare);
    tw_diag_add(list->diags, 1232, &place, "the list begins with a bare line of text: it is read as the title");
}

/* Once a trailer or a licence text has begun, remarks belong to the list and no more to its last event. */
static bool begins_tail(const twi_list *list, const twi_note *note, bool after_blank)
{
    if (list->event_count == 0)
        return false;
    if (note->kind == TWI_NOTE_TRAILER)
        return true;
    return note->kind == TWI_NOTE_PLAIN && after_blank && tw_str_istarts(note->text, TW_STR("REM"));
}

bool twi_edl_statement(twi_list *list, tw_str text, tw_str body, uint32_t line, bool after_blank)
{
    twi_note note = {.text = text, .line = line};
    bool remark = is_remark(body);
    if (!remark && read_header(list, body, &note))
        return true;
    bool known = classify(body, &note);
    if (!known && !remark && twi_edl_has_times(body))
        return false;
    if (!known && !remark && is_bare_title(list)) {
        list->bare = note;
        return true;
    }
    if (!known && !remark)
        count_unknown(list, &note);
    if (!known && remark)
        join_name(list, &note, without_stars(text));
    list->in_tail = list->in_tail || begins_tail(list, &note, after_blank);
    add_note(list, &note);
    return true;
}
