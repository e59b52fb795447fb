/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* Our remarks:
 *   * TALLWIDE DELIVERY tall 1080X1920 MASTER <16 hex> PLAN <16 hex>  (the list; a long name puts the hashes into a
 *   * TALLWIDE MASTER <16 hex> PLAN <16 hex>                                line of their own)
 *   * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 [FIT] [SQUEEZE 2.0] [KEYS BEZIER|LINEAR] [FROM]
 *   * TALLWIDE KEY 48 X 1665.000 Y 0.000 W 2430.000 EASE 7                 (frame, window left and top, width, ease)
 *   * TALLWIDE RATE 48/1 [FROM]                     (what the source of the event above counts, where the list differs)
 * FROM: the outgoing side of the pair above; that of a framing has a length of its own. */

#define OURS "* TALLWIDE "
#define COLUMNS 80u

bool twi_edl_is_ours(tw_str line)
{
    return tw_str_starts(line, TW_STR("* TALLWIDE"));
}

bool twi_edl_is_rate(tw_str line)
{
    return tw_str_starts(line, TW_STR(OURS "RATE "));
}

/* ---- writing --------------------------------------------------------------------------------------------- */

static void add_size(tw_size size, tw_buf *out)
{
    tw_buf_addf(out, "%dX%d", size.w, size.h);
}

/* Shortest form of a number: "7", "7.2". */
static void add_short(double value, tw_buf *out)
{
    tw_buf_add_double(out, value);
    if (out->len >= 2 && out->at[out->len - 1] == '0' && out->at[out->len - 2] == '.')
        out->len -= 2;
}

static void add_key(const tw_framing *f, const tw_key *key, tw_buf *out)
{
    tw_window win = tw_geom_key_window(*key, f->squeeze, f->delivery);
    tw_buf_addf(out, OURS "KEY %lld X ", (long long)key->frame);
    tw_buf_add_fixed(out, win.x, 3);
    tw_buf_addz(out, " Y ");
    tw_buf_add_fixed(out, win.y, 3);
    tw_buf_addz(out, " W ");
    tw_geom_add_width(key->w, out);
    tw_buf_addz(out, " EASE ");
    add_short(key->ease, out);
}

void twi_edl_write_framing(const tw_framing *f, bool from, tw_str line_end, tw_buf *out)
{
    tw_buf_addz(out, OURS "FRAME ");
    add_size(f->delivery, out);
    tw_buf_addz(out, " SOURCE ");
    add_size(f->source, out);
    if (f->mode == TW_FRAME_FIT)
        tw_buf_addz(out, " FIT");
    if (f->squeeze < 1 || f->squeeze > 1) {
        tw_buf_addz(out, " SQUEEZE ");
        tw_buf_add_double(out, f->squeeze);
    }
    if (f->interp != TW_INTERP_EASED)
        tw_buf_addz(out, f->interp == TW_INTERP_BEZIER ? " KEYS BEZIER" : " KEYS LINEAR");
    if (from)
        tw_buf_addz(out, " FROM");
    tw_buf_add(out, line_end);
    for (size_t k = 0; k < f->key_count; k++) {
        add_key(f, &f->keys[k], out);
        tw_buf_add(out, line_end);
    }
}

void twi_edl_write_rate(tw_rate rate, bool from, tw_str line_end, tw_buf *out)
{
    tw_buf_addz(out, OURS "RATE ");
    tw_rate_write(rate, out);
    if (from)
        tw_buf_addz(out, " FROM");
    tw_buf_add(out, line_end);
}

static void add_hashes(const tw_stamp *stamp, tw_buf *out)
{
    tw_buf_addf(out, "MASTER %.*s PLAN %.*s", TW_ARG(tw_arena_hex(out->arena, stamp->master_hash)),
                TW_ARG(tw_arena_hex(out->arena, stamp->plan_hash)));
}

void twi_edl_write_stamp(const tw_stamp *stamp, tw_str line_end, tw_buf *out)
{
    tw_buf head = {.arena = out->arena}, hashes = {.arena = out->arena};
    tw_buf_addf(&head, OURS "DELIVERY %.*s ", TW_ARG(stamp->delivery));
    add_size(stamp->size, &head);
    add_hashes(stamp, &hashes);
    tw_buf_add(out, tw_buf_str(&head));
    if (head.len + 1 + hashes.len <= COLUMNS) {
        tw_buf_addc(out, ' ');
    } else {
        tw_buf_add(out, line_end);
        tw_buf_addz(out, OURS);
    }
    tw_buf_add(out, tw_buf_str(&hashes));
    tw_buf_add(out, line_end);
}

/* ---- reading --------------------------------------------------------------------------------------------- */

/* The words of one remark, taken one by one. */
typedef struct words {
    const twi_list *list;
    const twi_note *note;
    twi_token at[TWI_TOKENS + 1];
    size_t count, next;
    bool failed;
} words;

static void fail(words *w, const char *expected)
{
    if (w->failed)
        return;
    w->failed = true;
    tw_place place = twi_edl_note_place(w->list, w->note);
    if (w->next < w->count) {
        tw_str word = w->at[w->next].text;
        place.column = (uint32_t)(word.at - w->note->text.at) + 1;
        place.width = (uint32_t)word.len;
        tw_diag_add(w->list->diags, 1211, &place, "this framing remark is damaged: %s should stand where \"%.*s\" does",
                    expected, TW_ARG(word));
    } else {
        place.column = (uint32_t)w->note->text.len + 1;
        place.width = 0;
        tw_diag_add(w->list->diags, 1211, &place, "this framing remark is damaged: %s is missing at its end", expected);
    }
    tw_diag_hint(w->list->diags,
                 "take the remarks that begin with * TALLWIDE out, or make the list again from its plan");
}

static tw_str take(words *w)
{
    return w->next < w->count ? w->at[w->next].text : (tw_str){NULL, 0};
}

static bool is_word(words *w, const char *text)
{
    if (w->failed || !tw_str_is(take(w), text))
        return false;
    w->next++;
    return true;
}

static void need_word(words *w, const char *text)
{
    if (!is_word(w, text))
        fail(w, text);
}

static tw_size need_size(words *w)
{
    tw_size size = {1, 1};
    if (!w->failed && tw_size_read(take(w), &size))
        w->next++;
    else
        fail(w, "a size like 1080X1920");
    return size;
}

static double need_number(words *w, double least, double most)
{
    double value = 0;
    if (!w->failed && tw_num_double(take(w), &value) && value >= least && value <= most)
        w->next++;
    else
        fail(w, least > 0 ? "a number above 0" : "a number");
    return value;
}

static uint64_t need_hash(words *w)
{
    tw_str s = take(w);
    uint64_t value = 0;
    if (s.len == 16 && tw_num_hex(s, &value) && !w->failed)
        w->next++;
    else
        fail(w, "a hash of 16 hexadecimal digits");
    return value;
}

static void need_end(words *w)
{
    if (!w->failed && w->next < w->count)
        fail(w, "the end of the line");
}

static void complain(const twi_list *list, const twi_note *note, const char *why)
{
    tw_place place = twi_edl_note_place(list, note);
    tw_diag_add(list->diags, 1211, &place, "this framing remark cannot be used: %s", why);
    tw_diag_hint(list->diags, "take the remarks that begin with * TALLWIDE out, or make the list again from its plan");
}

static words words_of(const twi_list *list, const twi_note *note)
{
    words w = {.list = list, .note = note};
    w.count = twi_edl_tokens(twi_edl_value(note), w.at);
    return w;
}

/* Of a pair the first line is the outgoing side. */
static void read_rate(twi_list *list, const twi_note *note, twi_event *e)
{
    words w = words_of(list, note);
    tw_rate rate = {0, 1};
    bool drop;
    need_word(&w, "RATE");
    if (!tw_rate_read(take(&w), &rate, &drop) || tw_rate_count(rate) > TWI_EDL_COUNT_MOST)
        fail(&w, "a rate of up to 100 frames a second");
    w.next++;
    bool from = is_word(&w, "FROM");
    need_end(&w);
    if (w.failed)
        return;
    if (!from)
        e->source_rate = rate;
    else if (e > list->events && tw_str_eq(twi_edl_word(&e[-1], TWI_NUMBER), twi_edl_word(e, TWI_NUMBER)))
        e[-1].source_rate = rate;
    else
        complain(list, note, "no transition stands above it");
}

void twi_edl_said_rates(twi_list *list)
{
    for (size_t i = 0; i < list->event_count; i++) {
        TWI_EACH_NOTE (note, list, &list->events[i], TWI_NOTE_OURS)
            if (twi_edl_is_rate(note->text))
                read_rate(list, note, &list->events[i]);
    }
}

static void read_hashes(twi_list *list, words *w)
{
    uint64_t master = need_hash(w);
    need_word(w, "PLAN");
    uint64_t plan = need_hash(w);
    need_end(w);
    if (w->failed)
        return;
    if (list->stamp == NULL) {
        complain(list, w->note, "no DELIVERY remark stands above it");
        return;
    }
    list->stamp->master_hash = master;
    list->stamp->plan_hash = plan;
}

static void read_delivery(twi_list *list, words *w)
{
    tw_str name = take(w);
    if (name.len == 0)
        fail(w, "the delivery's name");
    w->next++;
    tw_size size = need_size(w);
    if (w->failed)
        return;
    if (list->stamp == NULL)
        list->stamp = TW_NEW(list->arena, tw_stamp);
    *list->stamp = (tw_stamp){.delivery = name, .size = size};
    if (is_word(w, "MASTER"))
        read_hashes(list, w);
    need_end(w);
}

static tw_interp read_interp(words *w)
{
    if (!is_word(w, "KEYS"))
        return TW_INTERP_EASED;
    if (is_word(w, "BEZIER"))
        return TW_INTERP_BEZIER;
    need_word(w, "LINEAR");
    return TW_INTERP_LINEAR;
}

static twi_event *read_frame(twi_list *list, words *w, twi_event *e)
{
    tw_framing f = {.squeeze = 1};
    f.delivery = need_size(w);
    need_word(w, "SOURCE");
    f.source = need_size(w);
    f.mode = is_word(w, "FIT") ? TW_FRAME_FIT : TW_FRAME_FILL;
    if (is_word(w, "SQUEEZE"))
        f.squeeze = need_number(w, 1e-3, 1e3);
    f.interp = read_interp(w);
    twi_event *framed = !is_word(w, "FROM") ? e : e->paired ? e - 1 : NULL;
    need_end(w);
    if (w->failed)
        return NULL;
    if (framed == NULL || framed->video == 0) {
        complain(list, w->note, framed == NULL ? "no transition stands above it" : "the event above it has no picture");
        return NULL;
    }
    if (framed->framing != NULL) {
        complain(list, w->note, "its event is framed twice");
        return NULL;
    }
    framed->framing = TW_NEW(list->arena, tw_framing);
    *framed->framing = f;
    return framed;
}

static bool read_key(words *w, const tw_framing *f, tw_key *key)
{
    tw_str frame = take(w);
    if (!tw_num_int(frame, &key->frame) || key->frame < -1000000000 || key->frame > 1000000000)
        fail(w, "a whole frame number");
    w->next++;
    need_word(w, "X");
    double x = need_number(w, -TW_GEOM_LIMIT, TW_GEOM_LIMIT);
    need_word(w, "Y");
    double y = need_number(w, -TW_GEOM_LIMIT, TW_GEOM_LIMIT);
    need_word(w, "W");
    key->w = need_number(w, 1e-9, TW_GEOM_LIMIT);
    need_word(w, "EASE");
    key->ease = need_number(w, 0, 1e9);
    need_end(w);
    key->cx = x + key->w / 2;
    key->cy = y + tw_geom_height(key->w, f->squeeze, f->delivery) / 2;
    return !w->failed;
}

/* Keys of the event being read, until they are moved to its framing. */
typedef struct keys {
    tw_key *at;
    size_t len, cap;
} keys;

static void add_read_key(twi_list *list, words *w, twi_event *framed, keys *k)
{
    tw_key key;
    if (framed == NULL) {
        complain(list, w->note, "no FRAME remark stands above it");
        return;
    }
    if (!read_key(w, framed->framing, &key))
        return;
    if (k->len > 0 && key.frame <= k->at[k->len - 1].frame) {
        complain(list, w->note, "its frame does not come after the key before it");
        return;
    }
    TW_PUSH(list->arena, k->at, k->len, k->cap) = key;
    framed->framing->keys = k->at;
    framed->framing->key_count = k->len;
}

/* Remarks of the list itself. False when it is none of them. */
static bool read_list_remark(twi_list *list, words *w)
{
    if (is_word(w, "DELIVERY"))
        read_delivery(list, w);
    else if (is_word(w, "MASTER"))
        read_hashes(list, w);
    else
        return false;
    return true;
}

static void check_keys(twi_list *list, const twi_note *note, const twi_event *framed)
{
    if (framed != NULL && framed->framing->key_count == 0)
        complain(list, note, "no KEY remark follows it");
}

static void read_event_remarks(twi_list *list, twi_event *e)
{
    twi_event *framed = NULL;
    const twi_note *frame_note = NULL;
    keys k = {.len = 0};
    TWI_EACH_NOTE (note, list, e, TWI_NOTE_OURS) {
        if (twi_edl_is_rate(note->text))
            continue;
        words w = words_of(list, note);
        if (read_list_remark(list, &w))
            continue;
        if (is_word(&w, "FRAME")) {
            check_keys(list, frame_note, framed);
            framed = read_frame(list, &w, e);
            frame_note = note;
            k = (keys){.len = 0};
        } else if (is_word(&w, "KEY")) {
            add_read_key(list, &w, framed, &k);
        } else {
            fail(&w, "DELIVERY, RATE, FRAME or KEY");
        }
    }
    check_keys(list, frame_note, framed);
}

void twi_edl_ours(twi_list *list)
{
    if (!(list->kinds & TWI_KIND(TWI_NOTE_OURS)))
        return;
    for (size_t i = 0; i < list->head_notes; i++) {
        if (list->notes[i].kind != TWI_NOTE_OURS)
            continue;
        words w = words_of(list, &list->notes[i]);
        if (!read_list_remark(list, &w))
            fail(&w, "DELIVERY");
    }
    for (size_t i = 0; i < list->event_count; i++)
        if (!list->events[i].bad)
            read_event_remarks(list, &list->events[i]);
}
