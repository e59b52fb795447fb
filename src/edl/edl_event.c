/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* An event line is read by its words: number, reel, channels, transition, then four times. Columns differ from writer
 * to writer, so they only serve to show where something is wrong. */

#define TOO_LARGE 100000000u

/* The number that digits alone make, SIZE_MAX when there are others or none. What is far too large is cut short. */
static size_t whole(tw_str s)
{
    size_t value = 0;
    for (size_t i = 0; i < s.len; i++) {
        if (!tw_is_digit(s.at[i]))
            return SIZE_MAX;
        value = value < TOO_LARGE ? value * 10 + (size_t)(s.at[i] - '0') : value;
    }
    return s.len > 0 ? value : SIZE_MAX;
}

static bool all_digits(tw_str s)
{
    return whole(s) != SIZE_MAX;
}

/* ---- words ----------------------------------------------------------------------------------------------- */

size_t twi_edl_tokens(tw_str text, twi_token tokens[TWI_TOKENS + 1])
{
    size_t count = 0, i = 0;
    while (count <= TWI_TOKENS) {
        while (i < text.len && tw_is_blank(text.at[i]))
            i++;
        if (i == text.len)
            break;
        size_t start = i;
        while (i < text.len && !tw_is_blank(text.at[i]))
            i++;
        tokens[count++] = (twi_token){{text.at + start, i - start}, (uint16_t)start};
    }
    return count;
}

/* Digits and separators only: a time when there are three separators, part of one when there are fewer. Points and
 * commas are taken for separators here, and a sign for part of it, so that the finding can point at them. */
typedef enum shape { NO_TIME, PART_OF_TIME, A_TIME } shape;

static shape shape_of(tw_str word)
{
    size_t digits = 0, colons = 0, points = 0;
    if (word.len > 0 && (word.at[0] == '-' || word.at[0] == '+'))
        word = tw_str_from(word, 1);
    for (size_t i = 0; i < word.len; i++) {
        char c = word.at[i];
        digits += tw_is_digit(c);
        colons += c == ':' || c == ';';
        points += c == '.' || c == ',';
    }
    if (digits + colons + points < word.len || digits == 0 || colons + points == 0)
        return NO_TIME;
    if (colons + points >= 3)
        return A_TIME;
    return colons > 0 ? PART_OF_TIME : NO_TIME;
}

/* ---- times ----------------------------------------------------------------------------------------------- */

/* Index of the first of four times in a row, the last such row of the line; 0 when there is none. */
static size_t find_times(const twi_token *tokens, size_t count)
{
    size_t run = 0;
    for (size_t i = count; i-- > 1;) {
        run = shape_of(tokens[i].text) == A_TIME ? run + 1 : 0;
        if (run == 4)
            return i;
    }
    return 0;
}

bool twi_edl_only_times(tw_str text)
{
    twi_token tokens[TWI_TOKENS + 1];
    if (text.len > TWI_EDL_LINE_LIMIT || twi_edl_tokens(text, tokens) != 4)
        return false;
    for (size_t i = 0; i < 4; i++)
        if (shape_of(tokens[i].text) != A_TIME)
            return false;
    return true;
}

/* Reel, channels and kind of cut stand before them. */
#define WORDS_BEFORE_TIMES 3

bool twi_edl_has_times(tw_str text)
{
    twi_token tokens[TWI_TOKENS + 1];
    size_t count = text.len <= TWI_EDL_LINE_LIMIT ? twi_edl_tokens(text, tokens) : 0;
    return count <= TWI_TOKENS && find_times(tokens, count) >= WORDS_BEFORE_TIMES;
}

#define LABEL 11 /* HH:MM:SS:FF */
#define TIMES (4 * (1 + LABEL))

/* The quick answer for nearly every event: its last word is a plain time. */
static bool ends_in_time(tw_str text)
{
    const char *end = text.at + text.len;
    return text.len > LABEL && end[-12] == ' ' && end[-9] == ':' && end[-6] == ':' && end[-3] == ':' &&
           tw_is_digit(end[-1]);
}

bool twi_edl_lacks_times(tw_str text)
{
    if (ends_in_time(text))
        return false;
    twi_token tokens[TWI_TOKENS + 1];
    size_t count = twi_edl_tokens(text, tokens);
    if (count < 3 || count > TWI_TOKENS || !all_digits(tokens[0].text))
        return false;
    for (size_t i = 0; i < count; i++)
        if (shape_of(tokens[i].text) != NO_TIME)
            return false;
    return true;
}

/* ---- findings -------------------------------------------------------------------------------------------- */

static tw_place place_at(const twi_list *list, const twi_event *event, size_t at, size_t width)
{
    return (tw_place){.file = list->file,
                      .line = event->line,
                      .column = (uint32_t)at + 1,
                      .width = (uint32_t)width,
                      .text = event->text};
}

tw_place twi_edl_stretch(const twi_list *list, const twi_event *event, twi_part first, twi_part last)
{
    const twi_word *a = &event->word[first], *b = &event->word[last];
    return place_at(list, event, a->at, (size_t)b->at + b->len - a->at);
}

tw_place twi_edl_place(const twi_list *list, const twi_event *event, twi_part part)
{
    return twi_edl_stretch(list, event, part, part);
}

static tw_place token_place(const twi_list *list, const twi_event *event, const twi_token *token)
{
    return place_at(list, event, token->at, token->text.len);
}

const char *twi_edl_called(const twi_list *list, const twi_event *event)
{
    return tw_arena_printf(list->arena, "event %.*s", TW_ARG(twi_edl_word(event, TWI_NUMBER))).at;
}

const char *const twi_edl_side[] = {"source in", "source out", "record in", "record out"};

static void refuse_time(twi_list *list, twi_event *event, const twi_token *token, size_t side)
{
    tw_tc tc;
    tw_tc_fault fault = tw_tc_split(token->text, &tc, NULL);
    tw_place place = token_place(list, event, token);
    const char *why = fault == TW_TC_HOUR        ? "lies past 23 hours"
                      : fault == TW_TC_MINUTE    ? "has a minute or second above 59"
                      : fault == TW_TC_SEPARATOR ? "has a separator other than ':' or ';'"
                                                 : "is not a time of the form HH:MM:SS:FF";
    event->bad = true;
    tw_diag_add(list->diags, fault == TW_TC_HOUR ? 1208 : 1202, &place, "%s \"%.*s\" %s; the event is left out",
                twi_edl_side[side], TW_ARG(token->text), why);
    if (fault == TW_TC_HOUR)
        tw_diag_hint(list->diags, "time code begins again at 00:00:00:00 after midnight: write it so");
    else if (fault == TW_TC_SEPARATOR)
        tw_diag_hint(list->diags, "write HH:MM:SS:FF, or HH:MM:SS;FF for drop frame");
}

/* No four times in a row: say what stands there instead. */
static void refuse_line(twi_list *list, twi_event *event, const twi_token *tokens, size_t count)
{
    event->bad = true;
    size_t times = 0;
    for (size_t i = 1; i < count && i < TWI_TOKENS; i++) {
        shape form = shape_of(tokens[i].text);
        times += form == A_TIME;
        if (form != PART_OF_TIME)
            continue;
        tw_place place = token_place(list, event, &tokens[i]);
        tw_diag_add(list->diags, 1202, &place,
                    "\"%.*s\" is only part of a time, perhaps one with a blank inside; the event is left out",
                    TW_ARG(tokens[i].text));
        return;
    }
    tw_place place = place_at(list, event, 0, event->text.len);
    if (times == 0)
        tw_diag_add(list->diags, 1201, &place,
                    "this line begins with a digit but is no event: an event ends in four times; it is left out");
    else
        tw_diag_add(list->diags, 1201, &place, "an event ends in four times and this one has %zu; it is left out",
                    times);
    size_t plain = 0;
    for (size_t i = count; i-- > 1 && all_digits(tokens[i].text);)
        plain++;
    if (plain >= 4)
        tw_diag_hint(list->diags, "plain frame counts are not read: write HH:MM:SS:FF");
}

/* ---- transitions ----------------------------------------------------------------------------------------- */

static bool is_letter(tw_str s, char upper)
{
    return s.len == 1 && (s.at[0] == upper || s.at[0] == upper + ('a' - 'A'));
}

static uint16_t small_number(tw_str s)
{
    size_t value = whole(s);
    return value < UINT16_MAX ? (uint16_t)value : UINT16_MAX;
}

typedef enum cut_form { CUT_FINE, CUT_NO_WIPE_NUMBER, CUT_NO_LENGTH, CUT_UNKNOWN } cut_form;

static cut_form mix_form(twi_event *event, twi_cut cut, tw_str length)
{
    event->cut = (uint8_t)cut;
    if (!all_digits(length))
        return length.len > 0 ? CUT_UNKNOWN : CUT_NO_LENGTH;
    event->mix = small_number(length);
    return event->mix == 0 ? CUT_NO_LENGTH : CUT_FINE;
}

/* "W001 010", or "W 001 010". */
static cut_form wipe_form(twi_event *event, const twi_token *t, size_t n)
{
    tw_str code = tw_str_from(t[0].text, 1);
    if (code.len == 0 && n == 3)
        code = (++t)->text, n--;
    if (!all_digits(code))
        return code.len > 0 ? CUT_UNKNOWN : CUT_NO_WIPE_NUMBER;
    event->wipe = small_number(code);
    return n > 2 ? CUT_UNKNOWN : mix_form(event, TWI_WIPE, n == 2 ? t[1].text : (tw_str){NULL, 0});
}

/* "K B", "KB", "K O", "KO", "K 010". */
static cut_form key_form(twi_event *event, const twi_token *t, size_t n)
{
    tw_str kind = tw_str_from(t[0].text, 1);
    size_t next = 1;
    if (kind.len == 0 && n > 1 && !all_digits(t[1].text))
        kind = t[next++].text;
    bool back = is_letter(kind, 'B'), out = is_letter(kind, 'O');
    event->cut = back ? TWI_KEY_BACK : out ? TWI_KEY_OUT : TWI_KEY;
    if (!back && !out && kind.len > 0)
        return CUT_UNKNOWN;
    if (next < n && !all_digits(t[next].text))
        return CUT_UNKNOWN;
    event->mix = next < n ? small_number(t[next++].text) : 0;
    return next < n ? CUT_UNKNOWN : CUT_FINE;
}

/* The words between channels and times. */
static cut_form cut_words(twi_event *event, const twi_token *t, size_t n)
{
    event->cut = TWI_CUT;
    event->mix = 0;
    event->no_letter = false;
    if (n == 0 || (n == 1 && all_digits(t[0].text))) { /* "V      008": the letter was lost */
        event->no_letter = true;
        event->cut = n == 0 ? TWI_CUT : TWI_DISSOLVE;
        return n == 0 ? CUT_FINE : mix_form(event, TWI_DISSOLVE, t[0].text);
    }
    char c = t[0].text.at[0];
    if (is_letter(t[0].text, 'C'))
        return n == 1 || (n == 2 && all_digits(t[1].text)) ? CUT_FINE : CUT_UNKNOWN;
    if (is_letter(t[0].text, 'D'))
        return n <= 2 ? mix_form(event, TWI_DISSOLVE, n == 2 ? t[1].text : (tw_str){NULL, 0}) : CUT_UNKNOWN;
    if (c == 'W' || c == 'w')
        return wipe_form(event, t, n);
    if ((c == 'K' || c == 'k') && t[0].text.len <= 2)
        return key_form(event, t, n);
    return CUT_UNKNOWN;
}

static void refuse_cut(twi_list *list, twi_event *event, cut_form form)
{
    static const struct {
        const char *called, *why;
    } said[] = {
        [CUT_NO_WIPE_NUMBER] = {"the wipe ", "has no number"},
        [CUT_NO_LENGTH] = {"the transition ", "has no length in frames"},
        [CUT_UNKNOWN] = {"", "is no transition"},
    };
    tw_place place = twi_edl_place(list, event, TWI_CUT_WORDS);
    event->bad = true;
    tw_diag_add(list->diags, 1206, &place, "%s\"%.*s\" %s; the event is left out", said[form].called,
                TW_ARG(twi_edl_word(event, TWI_CUT_WORDS)), said[form].why);
    tw_diag_hint(list->diags, "transitions are C, D 024, W001 024, K B, K 024 and K O");
}

/* ---- the head of the line -------------------------------------------------------------------------------- */

/* Which of the words before the times names the channels: reels may hold blanks, so the first word from the third on
 * that is a channel word and leaves a transition behind it. *form tells about what follows it. */
static size_t find_channel(const twi_token *t, size_t n, twi_event *event, cut_form *form)
{
    uint32_t *channels = &event->channels;
    uint8_t *video = &event->video;
    size_t fallback = 0;
    for (size_t i = 2; i < n; i++) {
        if (!twi_edl_channel(t[i].text, false, channels, video))
            continue;
        *form = cut_words(event, t + i + 1, n - i - 1);
        if (*form == CUT_FINE)
            return i;
        if (fallback == 0)
            fallback = i;
    }
    if (fallback == 0 && n >= 2 && twi_edl_channel(t[1].text, false, channels, video))
        fallback = 1; /* the reel column is empty */
    if (fallback == 0)
        return 0;
    twi_edl_channel(t[fallback].text, false, channels, video);
    *form = cut_words(event, t + fallback + 1, n - fallback - 1);
    return fallback;
}

static void set_word(twi_event *event, twi_part part, const twi_token *first, const twi_token *last)
{
    event->word[part] = (twi_word){first->at, (uint16_t)(last->at + last->text.len - first->at)};
}

static bool read_number(twi_list *list, twi_event *event, const twi_token *t)
{
    size_t value = whole(t->text);
    if (value <= TWI_EDL_NUMBER_MOST) {
        event->value = (uint32_t)value;
        return true;
    }
    tw_place place = token_place(list, event, t);
    if (value != SIZE_MAX)
        tw_diag_add(list->diags, 1208, &place, "event number %.*s is larger than %d; the event is left out",
                    TW_ARG(t->text), TWI_EDL_NUMBER_MOST);
    else
        tw_diag_add(list->diags, 1201, &place, "\"%.*s\" is no event number; the event is left out", TW_ARG(t->text));
    return false;
}

static void read_head(twi_list *list, twi_event *event, const twi_token *t, size_t n)
{
    cut_form form = CUT_FINE;
    set_word(event, TWI_NUMBER, t, t);
    event->bad = !read_number(list, event, t);
    if (event->bad)
        return;
    size_t c = find_channel(t, n, event, &form);
    if (c == 0) {
        tw_place place = place_at(list, event, 0, t[n - 1].at + t[n - 1].text.len);
        tw_diag_add(list->diags, 1201, &place,
                    "no channel word (V, A, AA, B, NONE ...) stands before the times; the event is left out");
        event->bad = true;
        return;
    }
    set_word(event, TWI_CHANNEL, &t[c], &t[c]);
    if (c > 1) {
        set_word(event, TWI_REEL, &t[1], &t[c - 1]);
        event->black = tw_reel_is_black(twi_edl_word(event, TWI_REEL));
    }
    set_word(event, TWI_CUT_WORDS, &t[c + 1 < n ? c + 1 : c], &t[n - 1]);
    if (form != CUT_FINE)
        refuse_cut(list, event, form);
}

static void set_time(twi_event *event, size_t i, tw_tc tc)
{
    event->time[i] = (twi_label){(uint8_t)tc.hours, (uint8_t)tc.minutes, (uint8_t)tc.seconds, (uint8_t)tc.frames};
    event->semicolons = (uint8_t)(event->semicolons | (unsigned)tc.semicolon << i);
}

static void read_times(twi_list *list, twi_event *event, const twi_token *t)
{
    tw_tc tc;
    for (size_t i = 0; i < 4; i++) {
        set_word(event, (twi_part)i, &t[i], &t[i]);
        if (event->bad)
            continue;
        if (tw_tc_split(t[i].text, &tc, NULL) == TW_TC_FINE)
            set_time(event, i, tc);
        else
            refuse_time(list, event, &t[i], i);
    }
}

/* As nearly every line ends: four plain times, one blank before each. */
static bool read_plain_times(twi_event *event)
{
    if (event->text.len <= TIMES)
        return false;
    size_t at = event->text.len - TIMES;
    for (size_t i = 0; i < 4; i++, at += 1 + LABEL) {
        tw_tc tc;
        if (event->text.at[at] != ' ' || tw_tc_split((tw_str){event->text.at + at + 1, LABEL}, &tc, NULL) != TW_TC_FINE)
            return false;
        set_time(event, i, tc);
        event->word[i] = (twi_word){(uint16_t)(at + 1), LABEL};
    }
    return true;
}

void twi_edl_event(twi_list *list, tw_str text, uint32_t line, twi_event *event)
{
    twi_token tokens[TWI_TOKENS + 1];
    *event = (twi_event){.text = text, .line = line, .last_line = line, .speed = 1};
    if (read_plain_times(event)) {
        size_t count = twi_edl_tokens(tw_str_cut(text, text.len - TIMES), tokens);
        if (count > 0 && count + 4 <= TWI_TOKENS) {
            read_head(list, event, tokens, count);
            return;
        }
    }
    size_t count = twi_edl_tokens(text, tokens);
    size_t first = count <= TWI_TOKENS ? find_times(tokens, count) : 0;
    set_word(event, TWI_NUMBER, tokens, tokens);
    if (first == 0) {
        refuse_line(list, event, tokens, count);
        return;
    }
    event->semicolons = 0;
    read_head(list, event, tokens, first);
    read_times(list, event, tokens + first);
    if (event->bad || first + 4 == count)
        return;
    tw_place place = place_at(list, event, tokens[first + 4].at, text.len - tokens[first + 4].at);
    tw_diag_add(list->diags, 1232, &place,
                "the text after the record out time is not understood: only a list made from this one has it");
}
