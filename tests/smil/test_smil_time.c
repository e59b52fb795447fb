/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "smil/smil_read.h"

static twi_smil_span span_of(tw_arena *arena, const char *attributes, int64_t natural, twi_smil_reader *r)
{
    *r = (twi_smil_reader){.arena = arena, .diags = tw_diags_new(arena)};
    tw_str text = tw_arena_printf(arena, "<video %s/>", attributes);
    assert_int_equal(tw_xml_read(arena, text, TW_STR("t.smil"), r->diags, &r->doc), TW_OK);
    return twi_smil_span_of(r, r->doc.root, natural);
}

/* SMIL 3.0, "Computing the active duration", from memory: dur, repeated, cut by end; an end without a dur is the dur. */
static void spans(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *attributes;
        int64_t natural, begin, simple, active;
    } rows[] = {
        {"", -1, 0, -1, -1},
        {"", 4000, 0, 4000, 4000},
        {"begin='1s' dur='2s'", -1, 1000, 2000, 2000},
        {"begin='1s' dur='2s' end='2.5s'", -1, 1000, 2000, 1500},
        {"begin='1s' dur='2s' end='9s'", -1, 1000, 2000, 2000},
        {"begin='1s' end='2.5s'", 900, 1000, 900, 1500},
        {"end='2.5s'", -1, 0, 2500, 2500},
        {"dur='indefinite' repeatCount='1'", -1, 0, -1, -1},
        {"dur='2s' repeatCount='1.0'", -1, 0, 2000, 2000},
        {"begin='1s' end='indefinite'", 900, 1000, 900, 900},
        {"dur='2s' repeatCount='2.5'", -1, 0, 2000, 5000},
        {"dur='2s' repeatDur='3s'", -1, 0, 2000, 3000},
        {"repeatCount='3' repeatDur='10s' end='8s'", 3000, 0, 3000, 8000},
        {"dur='2s' min='0' max='indefinite' speed='1'", -1, 0, 2000, 2000},
        {"dur='2s' min='0s' speed='1.0'", -1, 0, 2000, 2000},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].attributes);
        twi_smil_reader r;
        const twi_smil_span span = span_of(arena, rows[i].attributes, rows[i].natural, &r);
        assert_false(r.failed);
        assert_int_equal(span.begin, rows[i].begin);
        assert_int_equal(span.simple, rows[i].simple);
        assert_int_equal(span.active, rows[i].active);
    }
}

static void not_followed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *attributes;
        int code;
    } rows[] = {
        {"dur='2s' end='A.end'", 2011},
        {"dur='2s' begin='3s' end='2s'", 2011},
        {"dur='2s' min='3s'", 2015},
        {"dur='2s' max='1s'", 2015},
        {"dur='2s' speed='2'", 2015},
        {"dur='2s' autoReverse='true'", 2015},
        {"dur='2s' clip-begin='1s'", 2015},
        {"dur='2s' repeatCount='indefinite'", 2015},
        {"dur='2s' repeatCount='-1'", 2015},
        {"dur='2s' repeatCount='1e12'", 2015},
        {"repeatCount='2'", 2015},
        {"dur='0s' repeatDur='2s'", 2015},
        {"dur='2s' repeat='2'", 2015},
        {"endsync='first'", 2015},
        {"repeatDur='2s'", 2015},
        {"dur='2s' min='0.1s'", 2015},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].attributes);
        twi_smil_reader r;
        span_of(arena, rows[i].attributes, -1, &r);
        assert_true(r.failed);
        assert_int_equal(tw_diags_get(r.diags, 0)->code, rows[i].code);
    }
}

TW_SUITE(smil_time)
{
    const struct CMUnitTest tests[] = {TW_TEST(spans), TW_TEST(not_followed)};
    return tw_run("smil/smil_time", tests);
}
