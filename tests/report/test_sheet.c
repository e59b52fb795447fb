/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

#include <string.h>

static tw_xml_node *page_of(tw_arena *arena, const hand *h, const tw_sheet_options *options)
{
    tw_buf out = {.arena = arena};
    tw_report_sheet(&h->derived, options, &out);
    tw_xml_doc doc;
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = tw_xml_read(arena, tw_buf_str(&out), TW_STR("sheet"), diags, &doc);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
    assert_int_equal(status, TW_OK);
    return doc.root;
}

static bool has_class(const tw_xml_node *node, const char *class)
{
    tw_str all = tw_xml_get(node, "class");
    for (size_t i = 0; i <= all.len; i++) {
        bool start = i == 0 || all.at[i - 1] == ' ';
        tw_str rest = tw_str_from(all, i);
        if (start && tw_str_starts(rest, tw_str_z(class)) &&
            (rest.len == tw_str_z(class).len || rest.at[tw_str_z(class).len] == ' '))
            return true;
    }
    return false;
}

/* The n-th element inside node of a name, and of a class unless that is NULL, in document order. */
static tw_xml_node *find(tw_xml_node *node, const char *name, const char *class, size_t *n)
{
    for (tw_xml_node *in = node->child; in != NULL; in = in->next) {
        if (tw_str_is(in->name, name) && (class == NULL || has_class(in, class)) && (*n)-- == 0)
            return in;
        tw_xml_node *inner = find(in, name, class, n);
        if (inner != NULL)
            return inner;
    }
    return NULL;
}

static tw_xml_node *nth(tw_xml_node *root, const char *name, const char *class, size_t n)
{
    return find(root, name, class, &n);
}

static size_t count(tw_xml_node *root, const char *name, const char *class)
{
    size_t most = 100000;
    find(root, name, class, &most);
    return 100000 - most;
}

static void one_row_a_shot(void **state)
{
    const hand *h = hand_derived(tw_test_arena(state));
    tw_xml_node *page = page_of(tw_test_arena(state), h, NULL);
    assert_int_equal(count(page, "section", "shot"), 3);
    assert_int_equal(count(page, "section", "eyes"), 2);
    assert_int_equal(count(page, "section", "moving"), 1);
    assert_int_equal(count(page, "section", "e0"), 2);
    tw_assert_text(tw_xml_get(nth(page, "section", "moving", 0), "id"), "s2");
    tw_assert_text(tw_xml_get(nth(page, "section", "moving", 0), "data-frames"), "0 96 23.976024");
    /* the worst first: the unknown size, then what is cut */
    tw_xml_node *first = nth(page, "ol", "first", 0);
    tw_assert_text(tw_xml_get(nth(first, "a", NULL, 0), "href"), "#s3");
    tw_assert_text(tw_xml_get(nth(first, "a", NULL, 1), "href"), "#s2");
}

/* Every id is there once, every reference leads somewhere. */
static void links_lead_somewhere(void **state)
{
    tw_xml_node *page = page_of(tw_test_arena(state), hand_derived(tw_test_arena(state)), NULL);
    static const char *const linking[] = {"a", "use"};
    for (size_t l = 0; l < 2; l++) {
        for (size_t i = 0; nth(page, linking[l], NULL, i) != NULL; i++) {
            tw_str target = tw_str_from(tw_xml_get(nth(page, linking[l], NULL, i), "href"), 1);
            size_t found = 0;
            static const char *const named[] = {"section", "g"};
            for (size_t k = 0; k < 2; k++)
                for (size_t n = 0; nth(page, named[k], NULL, n) != NULL; n++)
                    found += tw_str_eq(tw_xml_get(nth(page, named[k], NULL, n), "id"), target);
            assert_int_equal(found, 1);
        }
    }
}

/* The still shot shows its window; the moving one begins with the window at frame 0 and goes through the numbers of
 * test_motion.c: at rest to frame 18, eased to 30, straight to 42, eased to 54, at rest to 96. */
static void windows_and_motion(void **state)
{
    tw_xml_node *page = page_of(tw_test_arena(state), hand_derived(tw_test_arena(state)), NULL);
    tw_xml_node *still = nth(nth(page, "section", "shot", 0), "svg", "shown", 0);
    tw_assert_text(tw_xml_get(still, "viewBox"), "0 0 1080 1920");
    tw_assert_text(tw_xml_get(nth(still, "svg", NULL, 0), "viewBox"), "1665 0 2430 4320");
    assert_int_equal(count(nth(page, "section", "shot", 0), "animate", NULL), 0);
    tw_xml_node *moving = nth(nth(page, "section", "shot", 1), "svg", "shown", 0);
    tw_xml_node *animate = nth(moving, "animate", NULL, 0);
    tw_assert_text(tw_xml_get(animate, "attributeName"), "viewBox");
    tw_assert_text(tw_xml_get(animate, "dur"), "4.004s");
    tw_assert_text(tw_xml_get(animate, "keyTimes"), "0;0.1875;0.3125;0.4375;0.5625;1");
    tw_assert_text(tw_xml_get(animate, "keySplines"),
                   ".33333 0.33333 .66667 0.66667;.33333 0 .66667 0.33333;.33333 0.33333 .66667 0.66667;"
                   ".33333 0.66667 .66667 1;.33333 0.33333 .66667 0.66667");
    /* at the end of a blend of half-length r the window is r / 2 frames' way past the corner: (30 - 24) of 24 frames of
     * 2070 pixels is 517.5 by the straight line, which is where the blend ends */
    tw_assert_text(tw_xml_get(animate, "values"),
                   "1665 0 2430 4320;1665 0 2430 4320;2182.5 180 2328.75 4140;3217.5 540 2126.25 3780;"
                   "3735 720 2025 3600;3735 720 2025 3600");
}

static tw_str pretend(void *context, tw_str name)
{
    tw_arena *arena = context;
    return tw_str_starts(name, TW_STR("A003")) ? tw_arena_printf(arena, "stills/%.*s.jpg", TW_ARG(name))
                                               : (tw_str){NULL, 0};
}

static void stills_by_reel_and_time(void **state)
{
    hand *h = hand_derived(tw_test_arena(state));
    const tw_sheet_options options = {
        .title = TW_STR("a < b"), .still = pretend, .still_context = tw_test_arena(state)};
    tw_xml_node *page = page_of(tw_test_arena(state), h, &options);
    assert_int_equal(count(page, "image", NULL), 1);
    tw_assert_text(tw_xml_get(nth(page, "image", NULL, 0), "href"), "stills/A003_01023000.jpg");
    tw_assert_text(nth(page, "h1", NULL, 0)->text, "a < b");
}

static void agreed_framings(void **state)
{
    const tw_sheet_agreed shots[] = {{TW_SHEET_WOULD_CHANGE, TW_STR("dana & kim")},
                                     {TW_SHEET_AGREED, TW_STR("")},
                                     {TW_SHEET_NOT_AGREED, TW_STR("")}};
    const tw_sheet_agreed *const deliveries[] = {shots};
    const tw_sheet_options options = {.agreed = deliveries};
    const hand *h = hand_derived(tw_test_arena(state));
    tw_buf text = {.arena = tw_test_arena(state)};
    tw_report_sheet(&h->derived, &options, &text);
    assert_non_null(strstr(tw_arena_dupz(tw_test_arena(state), tw_buf_str(&text)),
                           ">1</a>tall: agreed by dana &amp; kim, would change: still on hands</li>"));
    tw_xml_node *page = page_of(tw_test_arena(state), h, &options);
    assert_int_equal(count(page, "section", "eyes"), 3);
    assert_int_equal(count(page, "section", "e0"), 3);
    tw_assert_text(nth(page, "span", "v", 0)->text, "\xE2\x97\x8F framed; agreed by dana & kim, would change");
    assert_true(has_class(nth(page, "span", "v", 0), "look"));
    tw_assert_text(nth(page, "span", "v", 1)->text, "\xE2\x96\xB2 compromise, moving; agreed");
    tw_assert_text(nth(page, "span", "v", 2)->text, "? size not known");
    tw_xml_node *first = nth(page, "ol", "first", 0); /* before the unknown size */
    tw_assert_text(tw_xml_get(nth(first, "a", NULL, 0), "href"), "#s1");
    tw_assert_text(tw_xml_get(nth(first, "a", NULL, 1), "href"), "#s3");
}

/* What the standard says of 16:9 is applied to a tall shape by analogy, and the page says so. */
static void safe_areas(void **state)
{
    tw_xml_node *page = page_of(tw_test_arena(state), hand_derived(tw_test_arena(state)), NULL);
    tw_assert_text(nth(nth(page, "ul", "how", 0), "li", NULL, 4)->text,
                   "Kept clear in tall: SMPTE ST 2046-1 (dotted), by analogy, and left\xC2\xA0"
                   "5\xC2\xA0%, top\xC2\xA0"
                   "10\xC2\xA0%, right\xC2\xA0"
                   "5\xC2\xA0%, bottom\xC2\xA0"
                   "20\xC2\xA0% (dashed)");
    tw_xml_node *frame = nth(page, "svg", "shown", 0);
    tw_assert_text(tw_xml_get(nth(frame, "rect", "safe", 0), "x"), "37.8");
    tw_assert_text(tw_xml_get(nth(frame, "rect", "safe", 1), "y"), "96");
    tw_assert_text(tw_xml_get(nth(frame, "rect", "clear", 0), "height"), "1344"); /* 1920 * (1 - .1 - .2) */
}

/* A column that is 0 for every shape is left out where it would be rare: nothing is shown whole, one size is
 * unknown. */
static void totals_that_matter(void **state)
{
    tw_xml_node *page = page_of(tw_test_arena(state), hand_derived(tw_test_arena(state)), NULL);
    tw_xml_node *table = nth(nth(page, "div", "wide", 0), "table", NULL, 0);
    static const char *const heads[] = {"shape",       "shots",          "framed",         "moving",       "keys",
                                        "compromises", "not framed yet", "size not known", "largest scale"};
    static const char *const cells[] = {"tall 1080x1920", "3", "2", "1", "3", "1", "0", "1", "53.3 %"};
    size_t columns = sizeof heads / sizeof heads[0];
    for (size_t i = 0; i < columns; i++) {
        tw_row(i, heads[i]);
        tw_assert_text(nth(table, "th", NULL, i)->text, heads[i]);
        tw_assert_text(nth(nth(table, "tbody", NULL, 0), i == 0 ? "th" : "td", NULL, i == 0 ? 0 : i - 1)->text,
                       cells[i]);
    }
    assert_int_equal(count(table, "th", NULL), columns + 1);
}

/* Two shots in a row are named singly, three by the first and the last. */
static void links_to_rows_of_shots(void **state)
{
    hand *h = hand_derived(tw_test_arena(state));
    h->shots[1].verdict = h->shots[2].verdict = TW_VERDICT_NOT_FRAMED;
    tw_xml_node *jump = nth(page_of(tw_test_arena(state), h, NULL), "div", "jump", 0);
    assert_int_equal(count(jump, "a", NULL), 2);
    tw_assert_text(nth(jump, "a", NULL, 0)->text, "2");
    h->shots[0].verdict = TW_VERDICT_NOT_FRAMED;
    jump = nth(page_of(tw_test_arena(state), h, NULL), "div", "jump", 0);
    assert_int_equal(count(jump, "a", NULL), 1);
    tw_assert_text(nth(jump, "a", NULL, 0)->text, "1\xE2\x80\x93"
                                                  "3");
    tw_assert_text(tw_xml_get(nth(jump, "a", NULL, 0), "href"), "#s1");
}

TW_SUITE(sheet)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(one_row_a_shot),     TW_TEST(links_lead_somewhere),
        TW_TEST(windows_and_motion), TW_TEST(stills_by_reel_and_time),
        TW_TEST(safe_areas),         TW_TEST(agreed_framings),
        TW_TEST(totals_that_matter), TW_TEST(links_to_rows_of_shots),
    };
    return tw_run("report/sheet", tests);
}
