/* SPDX-License-Identifier: Apache-2.0 */
#include <string.h>

#include "edl_internal.h"

static tw_status refuse_file(twi_list *list, const twi_scan *scan, tw_str text, const char *why)
{
    tw_place place = {
        .file = list->file, .line = scan != NULL ? scan->line : 0, .column = 1, .text = tw_str_cut(text, 200)};
    tw_diag_add(list->diags, 1209, &place, "%s", why);
    tw_diag_hint(list->diags, "save the list as plain text, or check that the right file was named");
    return TW_ERR_SYNTAX;
}

static void add_event(twi_list *list, tw_str text, uint32_t line)
{
    twi_event *e = &TW_PUSH(list->scratch, list->events, list->event_count, list->event_cap);
    twi_edl_event(list, text, line, e);
    e->note = (uint32_t)list->note_count;
    e->fcm_drop = list->fcm_count > 0 && list->fcm[list->fcm_count - 1].drop;
    list->many_channels = list->many_channels || twi_edl_channel_many(twi_edl_word(e, TWI_CHANNEL));
    list->picture = list->picture || (!e->bad && e->video > 0);
    list->semicolons = list->semicolons || e->semicolons != 0;
    list->in_tail = false;
}

/* A line ahead: an event whose times were wrapped to the next line is joined before it is read. */
typedef struct ahead {
    tw_str text;
    uint32_t line;
    bool any;
} ahead;

static void take_event(twi_list *list, twi_scan *scan, tw_str text, ahead *next)
{
    uint32_t line = scan->line;
    bool joined = false;
    if (twi_edl_lacks_times(text) && twi_edl_next_line(scan, &next->text)) {
        next->line = scan->line;
        joined = twi_edl_only_times(next->text);
        next->any = !joined;
        if (joined)
            text = tw_arena_printf(list->arena, "%.*s %.*s", TW_ARG(text), TW_ARG(next->text));
    }
    add_event(list, text, line);
    if (!joined)
        return;
    twi_event *e = &list->events[list->event_count - 1];
    e->last_line = line + 1;
    tw_place place = twi_edl_place(list, e, TWI_NUMBER);
    tw_diag_add(list->diags, 1237, &place, "the times of this event stand on the next line: the two are read as one");
}

static tw_status too_long(twi_list *list, const twi_scan *scan, tw_str text)
{
    return refuse_file(list, scan, text, "this line is longer than 16384 bytes: this is no edit list");
}

/* A line that begins with a digit; one with blanks before it must look like an event, since remarks are indented
 * too. */
bool twi_edl_is_event(tw_str text, tw_str body)
{
    return twi_edl_is_numbered(text) || (body.len < text.len && twi_edl_is_numbered(body) && twi_edl_probe(body) > 0);
}

static tw_status scan_lines(twi_list *list, twi_scan *scan)
{
    tw_str text;
    ahead next = {.any = false};
    bool after_blank = false;
    while (next.any || twi_edl_next_line(scan, &text)) {
        uint32_t line = next.any ? next.line : scan->line;
        text = next.any ? next.text : text;
        next.any = false;
        if (text.len > TWI_EDL_LINE_LIMIT)
            return too_long(list, scan, text);
        if (!scan->plain && text.len > 0 && memchr(text.at, '\0', text.len) != NULL)
            return refuse_file(list, scan, (tw_str){NULL, 0},
                               "there is a NUL byte inside this line: the file is binary");
        tw_str body = twi_edl_is_numbered(text) ? text : tw_str_trim(text);
        if (twi_edl_is_event(text, body) || (body.len > 0 && !twi_edl_statement(list, text, body, line, after_blank)))
            take_event(list, scan, text, &next);
        after_blank = text.len == 0;
        if (list->event_count > TW_EVENTS_LIMIT) {
            tw_place place = {.file = list->file, .line = line};
            tw_diag_add(list->diags, 1212, &place, "the list holds more than %u event lines", TW_EVENTS_LIMIT);
            return TW_ERR_LIMIT;
        }
    }
    return TW_OK;
}

static void say_bytes(twi_list *list, const twi_scan *scan)
{
    if (scan->latin1_lines > 0) {
        tw_place place = {
            .file = list->file, .line = scan->latin1_first, .column = scan->latin1_column, .text = scan->latin1_text};
        tw_diag_add(list->diags, 1235, &place, "%u line%s not UTF-8, here first: read as Latin-1", scan->latin1_lines,
                    scan->latin1_lines == 1 ? " is" : "s are");
    }
    if (scan->padding > 0) {
        tw_place place = {.file = list->file, .line = scan->padding_line};
        tw_diag_add(list->diags, 1235, &place, "%zu padding bytes (Ctrl-Z or NUL) were passed over", scan->padding);
    }
}

/* AUD lines add sound channels 3 and 4, or whatever they name. */
static void add_aud(const twi_list *list, twi_event *e)
{
    TWI_EACH_NOTE (note, list, e, TWI_NOTE_AUD) {
        twi_token t[TWI_TOKENS + 1];
        size_t n = twi_edl_tokens(twi_edl_value(note), t);
        for (size_t k = 0; k < n && k < TWI_TOKENS; k++) {
            int64_t channel;
            if (tw_num_int(t[k].text, &channel) && channel >= 1 && channel <= TWI_EDL_AUDIO_MOST)
                e->channels |= 1u << channel;
        }
    }
}

static void settle_channels(twi_list *list)
{
    if (!list->many_channels && !(list->kinds & TWI_KIND(TWI_NOTE_AUD)))
        return;
    for (size_t i = 0; i < list->event_count; i++) {
        twi_event *e = &list->events[i];
        if (e->bad)
            continue;
        if (list->many_channels) /* what the words meant was not known when they were read */
            twi_edl_channel(twi_edl_word(e, TWI_CHANNEL), true, &e->channels, &e->video);
        add_aud(list, e);
    }
}

static void understand(twi_list *list, const tw_read_options *options)
{
    settle_channels(list);
    twi_edl_gather(list);
    if (list->kinds & TWI_KIND(TWI_NOTE_OURS))
        twi_edl_said_rates(list);
    twi_edl_rate(list, options);
    twi_edl_times(list);
    twi_edl_pairs(list);
    twi_edl_speeds(list);
    twi_edl_absorb(list);
    twi_edl_ours(list);
    twi_edl_rows(list);
    twi_edl_checks(list);
}

static twi_edl_doc *keep_document(const twi_list *list, tw_str bytes)
{
    twi_edl_doc *doc = TW_NEW(list->arena, twi_edl_doc);
    doc->bytes = bytes;
    doc->header_line = list->header_line;
    doc->first_event_line = list->event_count > 0 ? list->events[0].line : UINT32_MAX;
    for (size_t i = 0; i < list->event_count && doc->first_anchor == 0; i++)
        if (!list->events[i].bad && !twi_edl_next_is_pair(list, i))
            doc->first_anchor = list->events[i].last_line;
    return doc;
}

static void make_room(twi_list *list, tw_str bytes)
{
    twi_edl_guess(bytes, &list->event_cap, &list->note_cap);
    list->event_cap = list->event_cap < TW_EVENTS_LIMIT ? list->event_cap : TW_EVENTS_LIMIT;
    list->note_cap = list->note_cap < TW_EVENTS_LIMIT ? list->note_cap : TW_EVENTS_LIMIT;
    list->events = tw_arena_grow(list->scratch, NULL, 0, &list->event_cap, sizeof *list->events);
    list->notes = tw_arena_grow(list->arena, NULL, 0, &list->note_cap, sizeof *list->notes);
}

static tw_status read_list(twi_list *list, tw_str bytes, const tw_read_options *options, tw_timeline **out)
{
    size_t errors = tw_diags_count(list->diags, TW_ERROR);
    twi_scan scan;
    twi_edl_scan(&scan, list->arena, bytes);
    make_room(list, bytes);
    tw_status status = scan_lines(list, &scan);
    if (status != TW_OK)
        return status;
    say_bytes(list, &scan);
    twi_edl_bare_title(list);
    understand(list, options);
    tw_timeline *timeline = twi_edl_build(list);
    if (tw_diags_count(list->diags, TW_ERROR) > errors)
        return TW_ERR_SYNTAX;
    timeline->origin = keep_document(list, bytes);
    *out = timeline;
    return TW_OK;
}

static bool is_blank(tw_str bytes)
{
    size_t i = 0;
    while (i < bytes.len && (bytes.at[i] == ' ' || bytes.at[i] == '\t' || bytes.at[i] == '\r' || bytes.at[i] == '\n'))
        i++;
    return i == bytes.len;
}

tw_status twi_edl_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                       tw_timeline **out)
{
    static const tw_read_options none = {.drop = false};
    twi_list list = {.arena = arena, .diags = diags, .file = file};
    if (bytes.len > TW_FILE_LIMIT) {
        refuse_file(&list, NULL, (tw_str){NULL, 0}, "the file is larger than 1 GiB");
        return TW_ERR_LIMIT;
    }
    const char *not_text = is_blank(bytes) ? "there is nothing in this file" : twi_edl_not_text(bytes);
    if (not_text != NULL)
        return refuse_file(&list, NULL, (tw_str){NULL, 0}, not_text);
    list.scratch = tw_arena_like(arena);
    tw_status status = read_list(&list, bytes, options != NULL ? options : &none, out);
    tw_arena_free(&list.scratch);
    return status;
}
