/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

#include <math.h>
#include <string.h>

int64_t twi_smil_ms(tw_time t)
{
    const tw_rate thousand = {1000, 1};
    int64_t ms = tw_time_floor(t, thousand);
    return tw_time_cmp(tw_time_frames(ms, thousand), t) < 0 ? ms + 1 : ms;
}

void twi_smil_clock(int64_t ms, tw_buf *out)
{
    tw_buf_addf(out, "%lld.%03llds", (long long)(ms / 1000), (long long)(ms % 1000));
}

static bool to_ms(double value, double unit, int64_t *ms)
{
    double scaled = value * unit;
    if (!(scaled >= 0 && scaled < 1e12))
        return false;
    *ms = (int64_t)floor(scaled + 0.5);
    return true;
}

/* "HH:MM:SS.f" or "MM:SS.f". */
static bool read_colons(tw_str s, int64_t *ms)
{
    double total = 0;
    int fields = 0;
    while (s.len > 0) {
        size_t end = 0;
        while (end < s.len && s.at[end] != ':')
            end++;
        double field;
        if (++fields > 3 || !tw_num_double(tw_str_cut(s, end), &field) || field < 0)
            return false;
        total = total * 60 + field;
        s = tw_str_from(s, end + 1);
    }
    return fields >= 2 && to_ms(total, 1000, ms);
}

/* HH:MM:SS, :FF and hundredths of a frame as they like, from the start of the media (SMIL 3.0, clipBegin). */
static bool read_smpte(tw_str s, tw_rate rate, bool drop, int64_t *ms)
{
    char label[12] = "00:00:00:00";
    size_t end = 0;
    while (end < s.len && s.at[end] != '.')
        end++;
    int64_t frames, hundredths = 0;
    if ((end != 8 && end != 11) ||
        (end < s.len && (s.len != end + 3 || !tw_num_int(tw_str_from(s, end + 1), &hundredths))))
        return false;
    memcpy(label, s.at, end);
    if (hundredths < 0 || tw_tc_read(tw_str_z(label), rate, drop, &frames) != TW_TC_FINE)
        return false;
    *ms = twi_smil_ms(tw_time_add(tw_time_frames(frames, rate), tw_time_mul(tw_time_frames(1, rate), hundredths, 100)));
    return true;
}

bool twi_smil_read_clock(tw_str s, int64_t *ms)
{
    static const struct {
        tw_str ending;
        double unit;
    } units[] = {{{"ms", 2}, 1}, {{"min", 3}, 60000}, {{"h", 1}, 3600000}, {{"s", 1}, 1000}, {{"", 0}, 1000}};
    static const struct {
        tw_str metric;
        tw_rate rate;
        bool drop;
    } metrics[] = {{{"smpte=", 6}, {30, 1}, false},
                   {{"smpte-25=", 9}, {25, 1}, false},
                   {{"smpte-30-drop=", 14}, {30000, 1001}, true}};
    s = tw_str_trim(s);
    for (size_t m = 0; m < TW_COUNT(metrics); m++)
        if (tw_str_starts(s, metrics[m].metric))
            return read_smpte(tw_str_from(s, metrics[m].metric.len), metrics[m].rate, metrics[m].drop, ms);
    if (tw_str_starts(s, TW_STR("npt=")))
        s = tw_str_from(s, 4);
    for (size_t i = 0; i < s.len; i++)
        if (s.at[i] == ':')
            return read_colons(s, ms);
    for (size_t u = 0; u < TW_COUNT(units); u++) {
        tw_str ending = units[u].ending;
        double value;
        if (s.len > ending.len && tw_str_eq(tw_str_from(s, s.len - ending.len), ending) &&
            tw_num_double(tw_str_cut(s, s.len - ending.len), &value))
            return to_ms(value, units[u].unit, ms);
    }
    return false;
}
