/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_out.h"

/* U+00C0 to U+00FF without their accents, by the first letter of their Unicode names. */
static const char *const latin1[] = {
    "A", "A", "A", "A", "Ae", "A", "AE", "C", "E", "E", "E", "E", "I",  "I", "I",  "I",
    "D", "N", "O", "O", "O",  "O", "Oe", "x", "O", "U", "U", "U", "Ue", "Y", "Th", "ss",
    "a", "a", "a", "a", "ae", "a", "ae", "c", "e", "e", "e", "e", "i",  "i", "i",  "i",
    "d", "n", "o", "o", "o",  "o", "oe", "/", "o", "u", "u", "u", "ue", "y", "th", "y",
};

static const struct {
    uint32_t code;
    const char *ascii;
} others[] = {
    {0x00A0, " "}, {0x00AB, "\""}, {0x00BB, "\""}, {0x2010, "-"},  {0x2011, "-"},  {0x2012, "-"}, {0x2013, "-"},
    {0x2014, "-"}, {0x2018, "'"},  {0x2019, "'"},  {0x201C, "\""}, {0x201D, "\""}, {0x2022, "*"}, {0x2026, "..."},
};

static uint32_t decode(tw_str s, size_t *len)
{
    unsigned char c = (unsigned char)s.at[0];
    size_t n = c < 0x80 ? 1 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
    *len = n <= s.len && tw_str_utf8(tw_str_cut(s, n), NULL) ? n : 1;
    if (*len == 1)
        return c < 0x80 ? c : '?';
    uint32_t code = c & (0xFFu >> (n + 1));
    for (size_t i = 1; i < n; i++)
        code = code << 6 | ((unsigned char)s.at[i] & 0x3Fu);
    return code;
}

/* NULL: not at all. */
static const char *spelled(uint32_t code)
{
    if (code >= 0xC0 && code <= 0xFF)
        return latin1[code - 0xC0];
    for (size_t i = 0; i < TW_COUNT(others); i++)
        if (others[i].code == code)
            return others[i].ascii;
    return NULL;
}

static tw_str to_ascii(tw_arena *arena, tw_str text, const char *blank, const char *unknown)
{
    tw_buf ascii = {.arena = arena};
    while (text.len > 0) {
        size_t n;
        uint32_t code = decode(text, &n);
        const char *as = code <= ' ' ? blank : spelled(code);
        if (code > ' ' && code < 0x7F)
            tw_buf_addc(&ascii, (char)code);
        else
            tw_buf_addz(&ascii, as == NULL ? unknown : as[0] == ' ' ? blank : as);
        text = tw_str_from(text, n);
    }
    return tw_buf_str(&ascii);
}

tw_str twi_edl_reel_ascii(tw_arena *arena, tw_str reel)
{
    size_t fine = 0;
    while (fine < reel.len && reel.at[fine] > ' ' && reel.at[fine] < 0x7F)
        fine++;
    return fine == reel.len ? reel : to_ascii(arena, reel, "_", "_");
}

#define TEXT_MOST (TWI_EDL_LINE_LIMIT / 2 - 100) /* two of them and a key make a line */

tw_str twi_edl_ascii(twi_out *out, tw_str text, const tw_item *item)
{
    size_t fine = 0;
    while (fine < text.len && fine < TEXT_MOST && text.at[fine] >= ' ' && text.at[fine] < 0x7F)
        fine++;
    if (fine == text.len)
        return text;
    text = tw_str_cut(text, TEXT_MOST);
    twi_edl_lose(out, TWI_LOSS_TEXT, item);
    return to_ascii(out->arena, text, " ", "?");
}

tw_str twi_edl_one_word(twi_out *out, tw_str text, const tw_item *item)
{
    text = twi_edl_ascii(out, text, item);
    if (!tw_str_holds(text, TW_STR(" ")))
        return text;
    twi_edl_lose(out, TWI_LOSS_TEXT, item);
    tw_buf word = {.arena = out->arena};
    for (size_t i = 0; i < text.len; i++)
        tw_buf_addc(&word, text.at[i] == ' ' ? '_' : text.at[i]);
    return tw_buf_str(&word);
}

static bool is_control(char c)
{
    return ((unsigned char)c < ' ' && c != '\t') || c == 0x7F;
}

tw_str twi_edl_remark(twi_out *out, tw_str text, const tw_item *item)
{
    const tw_str shown = tw_str_cut(text, TWI_EDL_LINE_LIMIT - 2);
    size_t fine = 0;
    while (fine < shown.len && !is_control(shown.at[fine]))
        fine++;
    if (fine == text.len && twi_edl_is_kept(text))
        return text;
    twi_edl_lose(out, TWI_LOSS_REMARK, item);
    tw_buf line = {.arena = out->arena};
    for (size_t i = 0; i < shown.len; i++)
        tw_buf_addc(&line, is_control(shown.at[i]) ? ' ' : shown.at[i]);
    const tw_str cleaned = tw_buf_str(&line);
    return twi_edl_is_kept(cleaned) ? cleaned : tw_arena_printf(out->arena, "* %.*s", TW_ARG(cleaned));
}
