/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* Channel words as seen in lists: V, V2, B (V and A1), A, AA, A2, A12, A1234V, A2/V, AA/V, NONE. */

static bool digit(tw_str s, size_t i)
{
    return i < s.len && tw_is_digit(s.at[i]);
}

static bool letter(tw_str s, size_t i, char upper)
{
    return i < s.len && (s.at[i] == upper || s.at[i] == upper + ('a' - 'A'));
}

static size_t digits_from(tw_str s, size_t i, uint32_t *value)
{
    size_t n = 0;
    *value = 0;
    while (digit(s, i + n) && n < 6)
        *value = *value * 10 + (uint32_t)(s.at[i + n++] - '0');
    return n;
}

/* The number after an A: one channel, or one digit per channel ("A34"). "A12" is twelve in lists with many channels. */
static bool audio_bits(tw_str word, size_t at, size_t n, bool many, uint32_t *channels)
{
    uint32_t whole;
    digits_from(word, at, &whole);
    bool rising = true;
    for (size_t i = 1; i < n; i++)
        rising = rising && word.at[at + i] > word.at[at + i - 1];
    bool one = n == 1 || (n == 2 && word.at[at] == '1' && (many || !rising)) || (n == 2 && !rising);
    if (one) {
        if (whole < 1 || whole > TWI_EDL_AUDIO_MOST)
            return false;
        *channels |= 1u << whole;
        return true;
    }
    for (size_t i = 0; i < n; i++) {
        if (!rising || word.at[at + i] == '0')
            return false;
        *channels |= 1u << (word.at[at + i] - '0');
    }
    return true;
}

static size_t take_audio(tw_str word, size_t i, bool many, uint32_t *channels)
{
    if (letter(word, i + 1, 'A')) {
        *channels |= 1u << 1 | 1u << 2;
        return 2;
    }
    uint32_t value;
    size_t n = digits_from(word, i + 1, &value);
    if (n == 0)
        *channels |= 1u << 1;
    else if (!audio_bits(word, i + 1, n, many, channels))
        return 0;
    return 1 + n;
}

static size_t take_video(tw_str word, size_t i, uint32_t *channels, uint8_t *video)
{
    uint32_t value;
    size_t n = digits_from(word, i + 1, &value);
    if (n > 0 && (value < 1 || value > TWI_EDL_VIDEO_MOST))
        return 0;
    *channels |= 1u;
    *video = n > 0 ? (uint8_t)value : 1;
    return 1 + n;
}

bool twi_edl_channel(tw_str word, bool many_channels, uint32_t *channels, uint8_t *video)
{
    *channels = 0;
    *video = 0;
    if (letter(word, 0, 'N'))
        return tw_str_ieq(word, TW_STR("NONE"));
    if (word.len == 1 && letter(word, 0, 'B')) {
        *channels = 1u | 1u << 1;
        *video = 1;
        return true;
    }
    for (size_t i = 0; i < word.len;) {
        size_t n = 0;
        if (letter(word, i, 'V'))
            n = take_video(word, i, channels, video);
        else if (letter(word, i, 'A'))
            n = take_audio(word, i, many_channels, channels);
        else if (word.at[i] == '/' && i > 0 && i + 1 < word.len)
            n = 1;
        if (n == 0)
            return false;
        i += n;
    }
    return word.len > 0;
}

bool twi_edl_channel_many(tw_str word)
{
    uint32_t value;
    size_t n = letter(word, 0, 'A') ? digits_from(word, 1, &value) : 0;
    return n > 0 && 1 + n == word.len && ((value >= 5 && value <= 11));
}
