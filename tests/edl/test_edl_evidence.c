/* SPDX-License-Identifier: Apache-2.0 */
#include "edl/edl_evidence.h"
#include "support/support.h"

#define EVENTS 3

/* Seconds and frames of the four times, all in the minute 01:01. */
typedef struct made {
    uint8_t at[4][2];
    uint16_t mix;
} made;

static void make(const made *from, twi_event *events)
{
    for (size_t i = 0; i < EVENTS; i++) {
        events[i] = (twi_event){.video = 1, .channels = 1, .mix = from[i].mix};
        events[i].cut = from[i].mix > 0 ? TWI_DISSOLVE : TWI_CUT;
        for (size_t t = 0; t < 4; t++)
            events[i].time[t] = (twi_label){1, 1, from[i].at[t][0], from[i].at[t][1]};
    }
}

/* By hand: the first agrees at every count; of the second 2 x 25 - 10 and 25 + 15 are 40 at 25 only; the mix of the third
 * takes a frame more than a second of 24 has. */
static void lengths_and_mixes(void **state)
{
    (void)state;
    static const made from[EVENTS] = {{{{0, 0}, {2, 0}, {0, 0}, {2, 0}}, 0},
                                      {{{0, 13}, {2, 3}, {2, 0}, {3, 15}}, 0},
                                      {{{3, 0}, {4, 0}, {4, 0}, {5, 0}}, 25}};
    twi_event events[EVENTS];
    make(from, events);
    const twi_list list = {.events = events, .event_count = EVENTS, .picture = true};
    twi_evidence ev = {.largest = {-1, -1}};
    twi_edl_weigh(&list, &ev);
    assert_int_equal(ev.events, 3);
    assert_int_equal(ev.agree_any, 2);
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        assert_int_equal(ev.agree[c], twi_edl_counts[c] == 25);
        assert_int_equal(ev.too_long[c], twi_edl_counts[c] == 24);
    }
    assert_int_equal(ev.times[0] + ev.times[1], 12);
    assert_int_equal(ev.largest[0], 13);
    assert_int_equal(ev.largest[1], 15);
    assert_int_equal(ev.dropped, 0);
}

/* A remark says that the sources count 60: 54 of them are 27 at 30 and at no other count; their numbers above 30 are none of
 * the list's, and no pair of counts is guessed from them. The last runs at 30 of the 60 a second: half as far. */
static void stated_rates(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const made from[EVENTS] = {{{{0, 0}, {0, 54}, {0, 0}, {0, 27}}, 0},
                                      {{{0, 0}, {0, 54}, {2, 0}, {2, 27}}, 0},
                                      {{{0, 0}, {0, 54}, {3, 0}, {4, 24}}, 0}};
    twi_event events[EVENTS];
    make(from, events);
    for (size_t i = 0; i < EVENTS; i++)
        events[i].source_rate = (tw_rate){60, 1};
    twi_note m2 = {
        .text = TW_STR("M2   A003           030.0                01:01:00:00"), .kind = TWI_NOTE_M2, .value = 2};
    events[2].kinds = TWI_KIND(TWI_NOTE_M2);
    events[2].notes = 1;
    const twi_list list = {.arena = arena,
                           .scratch = arena,
                           .events = events,
                           .event_count = EVENTS,
                           .notes = &m2,
                           .note_count = 1,
                           .picture = true};
    twi_evidence ev = {.largest = {-1, -1}};
    twi_edl_weigh(&list, &ev);
    assert_int_equal(ev.events, 3);
    assert_int_equal(ev.agree_any, 0);
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++)
        assert_int_equal(ev.agree[c], twi_edl_counts[c] == 30 ? 3 : 0);
    assert_int_equal(ev.times[0], 0);
    assert_int_equal(ev.largest[0], -1);
    twi_mix m = {.source = 0, .record = 1};
    twi_edl_weigh_mix(&list, &m);
    assert_int_equal(m.of, 0);
}

/* From 01:00:59;00 to 01:01:01;00 are 58 frames of drop frame, two labels being left out at the minute (ST 12-1): at 60, as
 * the source is said to count, 116, which are 1:56. */
static void stated_rates_in_drop_frame(void **state)
{
    (void)state;
    twi_event e = {.video = 1, .channels = 1, .fcm_drop = true, .source_rate = {60, 1}};
    e.time[TWI_SRC_IN] = (twi_label){1, 0, 10, 0};
    e.time[TWI_SRC_OUT] = (twi_label){1, 0, 11, 56};
    e.time[TWI_REC_IN] = (twi_label){1, 0, 59, 0};
    e.time[TWI_REC_OUT] = (twi_label){1, 1, 1, 0};
    twi_fcm fcm = {.line = 2, .drop = true};
    const twi_list list = {.events = &e, .event_count = 1, .picture = true, .fcm = &fcm, .fcm_count = 1};
    twi_evidence ev = {.largest = {-1, -1}};
    twi_edl_weigh(&list, &ev);
    assert_int_equal(ev.events, 1);
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++)
        if (twi_edl_counts[c] == 30)
            assert_int_equal(ev.agree[c], 1);
        else if (twi_edl_counts[c] == 25)
            assert_int_equal(ev.agree[c], 0);
}

/* 01:01:00 and :01 are no labels of drop frame (ST 12-1), nor are 01:01:00 of the record side. */
static void labels_left_out(void **state)
{
    (void)state;
    static const made from[EVENTS] = {{{{0, 0}, {2, 0}, {0, 2}, {2, 2}}, 0},
                                      {{{0, 1}, {2, 1}, {2, 2}, {4, 2}}, 0},
                                      {{{0, 2}, {2, 2}, {0, 0}, {2, 0}}, 0}};
    twi_event events[EVENTS];
    twi_fcm fcm = {.line = 2, .drop = true};
    make(from, events);
    for (size_t i = 0; i < EVENTS; i++)
        events[i].fcm_drop = true;
    const twi_list list = {.events = events, .event_count = EVENTS, .picture = true, .fcm = &fcm, .fcm_count = 1};
    twi_evidence ev = {.largest = {-1, -1}};
    twi_edl_weigh(&list, &ev);
    assert_true(ev.drop);
    assert_int_equal(ev.dropped, 3);
}

/* 74 of 60 are 37 of 30, as 62 of 48 are 31 of 24 and 64 of 50 are 32 of 25; 58 is reached by 60 alone. */
static void pairs_of_counts(void **state)
{
    (void)state;
    made from[EVENTS] = {{{{0, 46}, {2, 46}, {0, 0}, {2, 0}}, 0},
                         {{{0, 30}, {1, 44}, {2, 0}, {3, 7}}, 0},
                         {{{0, 30}, {3, 30}, {3, 7}, {6, 7}}, 0}};
    twi_event events[EVENTS];
    for (int high = 0; high <= 1; high++) {
        from[0].at[0][1] = from[0].at[1][1] = high ? 58 : 46;
        make(from, events);
        const twi_list list = {.events = events, .event_count = EVENTS, .picture = true};
        twi_evidence ev = {.largest = {-1, -1}};
        twi_mix best, given;
        twi_edl_weigh(&list, &ev);
        assert_true(twi_edl_find_mix(&list, &ev, TWI_EDL_COUNTS, &best));
        assert_int_equal(twi_edl_counts[best.source], high ? 60 : 48);
        assert_int_equal(twi_edl_counts[best.record], high ? 30 : 24);
        assert_int_equal(best.agree, 3);
        assert_int_equal(best.also[1] + best.also[2], high ? 0 : 2);
        assert_true(twi_edl_find_mix(&list, &ev, 2, &given)); /* 30 */
        assert_int_equal(twi_edl_counts[given.source], 60);
    }
}

TW_SUITE(edl_evidence)
{
    const struct CMUnitTest tests[] = {TW_TEST(lengths_and_mixes), TW_TEST(stated_rates),
                                       TW_TEST(stated_rates_in_drop_frame), TW_TEST(labels_left_out),
                                       TW_TEST(pairs_of_counts)};
    return tw_run("edl/edl_evidence", tests);
}
