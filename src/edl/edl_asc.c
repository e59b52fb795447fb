/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* ASC CDL values in remarks: "(1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 1.0 1.0)", with or without blanks and commas between.
 * ASC CDL 1.2: slope >= 0, power > 0, saturation >= 0. */

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == ',' || c == '(' || c == ')';
}

static size_t numbers(tw_str s, double *out, size_t most)
{
    size_t count = 0, i = 0;
    for (;;) {
        while (i < s.len && is_space(s.at[i]))
            i++;
        if (i == s.len)
            return count;
        size_t start = i;
        while (i < s.len && !is_space(s.at[i]))
            i++;
        if (count == most || !tw_num_double((tw_str){s.at + start, i - start}, &out[count]))
            return SIZE_MAX;
        count++;
    }
}

const char *twi_edl_bad_sop(tw_str value)
{
    double v[9];
    if (numbers(value, v, 9) != 9)
        return "nine numbers are wanted";
    for (size_t i = 0; i < 3; i++) {
        if (v[i] < 0)
            return "a slope is below 0";
        if (v[6 + i] <= 0)
            return "a power is not above 0";
    }
    return NULL;
}

const char *twi_edl_bad_sat(tw_str value)
{
    double v;
    if (numbers(value, &v, 1) != 1)
        return "one number is wanted";
    return v < 0 ? "the saturation is below 0" : NULL;
}
