/* SPDX-License-Identifier: Apache-2.0
 *
 * SMPTE ST 12-1 time code. Drop-frame counting leaves out labels, never pictures: the first d frame numbers of every
 * minute that is no multiple of ten.
 */
#include <tallwide/rtime.h>

static int32_t dropped_a_minute(tw_rate rate, bool drop)
{
    if (!drop || !tw_rate_can_drop(rate))
        return 0;
    return rate.num == 30000 ? 2 : 4;
}

static bool is_separator(char c)
{
    return c == ':' || c == ';' || c == '.' || c == ',';
}

static tw_tc_fault fault_at(tw_tc_fault fault, size_t offset, size_t *at)
{
    if (at != NULL)
        *at = offset;
    return fault;
}

/* Digits of one field from *i on: two, or for the hours one or two. */
static bool read_field(tw_str s, size_t *i, bool hours, int32_t *out)
{
    size_t start = *i;
    *out = 0;
    while (*i < s.len && tw_is_digit(s.at[*i]) && *i - start < 2)
        *out = *out * 10 + (s.at[(*i)++] - '0');
    return *i - start == 2 || (hours && *i - start == 1);
}

/* Two digits as a number; 100 or more when they are no digits. */
static uint32_t two_digits(const char *s)
{
    uint32_t tens = (uint32_t)s[0] - '0', ones = (uint32_t)s[1] - '0';
    return tens <= 9 && ones <= 9 ? tens * 10 + ones : 100;
}

/* The form nearly every label has, HH:MM:SS:FF without a fault; false leaves the label to the careful reading below. */
static bool split_plain(tw_str s, tw_tc *tc)
{
    if (s.len != 11 || s.at[2] != ':' || s.at[5] != ':' || s.at[8] != ':')
        return false;
    uint32_t h = two_digits(s.at), m = two_digits(s.at + 3), sec = two_digits(s.at + 6), f = two_digits(s.at + 9);
    if (h > 23 || m > 59 || sec > 59 || f > 99)
        return false;
    *tc = (tw_tc){(int32_t)h, (int32_t)m, (int32_t)sec, (int32_t)f, false};
    return true;
}

tw_tc_fault tw_tc_split(tw_str s, tw_tc *tc, size_t *at)
{
    if (split_plain(s, tc))
        return TW_TC_FINE;
    int32_t field[4];
    size_t start[4], i = 0;
    char separator[3] = {0};
    for (int f = 0; f < 4; f++) {
        start[f] = i;
        if (!read_field(s, &i, f == 0, &field[f]))
            return fault_at(TW_TC_FORM, i, at);
        if (f == 3)
            break;
        if (i == s.len || !is_separator(s.at[i]))
            return fault_at(TW_TC_FORM, i, at);
        separator[f] = s.at[i++];
    }
    if (i != s.len)
        return fault_at(TW_TC_FORM, i, at);
    /* HH:MM:SS:FF, HH:MM:SS;FF, HH;MM;SS;FF */
    for (int f = 0; f < 3; f++)
        if (separator[f] == '.' || separator[f] == ',' || (f > 0 && f < 2 && separator[f] != separator[0]) ||
            (f == 2 && separator[f] == ':' && separator[0] == ';'))
            return fault_at(TW_TC_SEPARATOR, start[f + 1] - 1, at);
    if (field[0] > 23)
        return fault_at(TW_TC_HOUR, start[0], at);
    for (int f = 1; f < 3; f++)
        if (field[f] > 59)
            return fault_at(TW_TC_MINUTE, start[f], at);
    *tc = (tw_tc){field[0], field[1], field[2], field[3], separator[2] == ';'};
    return TW_TC_FINE;
}

tw_tc_fault tw_tc_frames(tw_tc tc, tw_rate rate, bool drop, int64_t *frames)
{
    int32_t count = tw_rate_count(rate), d = dropped_a_minute(rate, drop);
    if (tc.frames >= count)
        return TW_TC_FRAME;
    if (tc.seconds == 0 && tc.frames < d && tc.minutes % 10 != 0)
        return TW_TC_DROPPED;
    int64_t minutes = (int64_t)60 * tc.hours + tc.minutes;
    *frames = (minutes * 60 + tc.seconds) * count + tc.frames - d * (minutes - minutes / 10);
    return TW_TC_FINE;
}

tw_tc_fault tw_tc_read(tw_str s, tw_rate rate, bool drop, int64_t *frames)
{
    tw_tc tc;
    tw_tc_fault fault = tw_tc_split(s, &tc, NULL);
    return fault != TW_TC_FINE ? fault : tw_tc_frames(tc, rate, drop, frames);
}

int64_t tw_tc_day(tw_rate rate, bool drop)
{
    return (int64_t)86400 * tw_rate_count(rate) - (int64_t)dropped_a_minute(rate, drop) * (1440 - 144);
}

void tw_tc_write(int64_t frames, tw_rate rate, bool drop, bool colons, char out[12])
{
    int32_t count = tw_rate_count(rate), d = dropped_a_minute(rate, drop);
    int64_t day = tw_tc_day(rate, drop), n = frames % day;
    n += n < 0 ? day : 0;
    if (d > 0) { /* put the left-out labels back: 9 d in each ten minutes, d in each minute after the first of them */
        int64_t minute = (int64_t)60 * count - d, ten = 10 * minute + d;
        int64_t q = n / ten, r = n % ten;
        n += 9 * d * q + (r >= d ? d * ((r - d) / minute) : 0);
    }
    int64_t seconds = n / count;
    const int64_t field[4] = {seconds / 3600 % 24, seconds / 60 % 60, seconds % 60, n % count};
    for (int f = 0; f < 4; f++) {
        out[3 * f] = (char)('0' + field[f] / 10 % 10);
        out[3 * f + 1] = (char)('0' + field[f] % 10);
        out[3 * f + 2] = f == 2 && d > 0 && !colons ? ';' : ':';
    }
    out[11] = '\0';
}

void tw_tc_add(int64_t frames, tw_rate rate, bool drop, tw_buf *out)
{
    char label[12];
    tw_tc_write(frames, rate, drop, false, label);
    tw_buf_addz(out, label);
}

tw_str tw_tc_text(tw_arena *arena, int64_t frames, tw_rate rate, bool drop)
{
    char label[12];
    tw_tc_write(frames, rate, drop, false, label);
    return tw_arena_dup(arena, tw_str_z(label));
}
