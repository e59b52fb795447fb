/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/xmlio.h>

static void one_element_a_line(void **state)
{
    tw_buf buf = {.arena = tw_test_arena(state)};
    tw_xml x = {.out = &buf};
    tw_xml_begin(&x, "smil");
    tw_xml_open_with(&x, "smil", "z", "1");
    tw_xml_attrf(&x, "a", "%d\"%s", 2, "<");
    tw_xml_open(&x, "seq");
    tw_xml_close(&x);
    tw_xml_open(&x, "p");
    tw_xml_textz(&x, "one ");
    tw_xml_leaf(&x, "em", TW_STR("two & three"));
    tw_xml_textz(&x, " ]]>");
    tw_xml_close(&x);
    tw_xml_open(&x, "p");
    tw_xml_inline(&x);
    tw_xml_leaf(&x, "b", TW_STR("x"));
    tw_xml_open(&x, "i");
    tw_xml_close_to(&x, 0);
    tw_assert_text(tw_buf_str(&buf), "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                                     "<!DOCTYPE smil>\n"
                                     "<smil z=\"1\" a=\"2&quot;&lt;\">\n"
                                     " <seq/>\n"
                                     " <p>one <em>two &amp; three</em> ]]&gt;</p>\n"
                                     " <p><b>x</b><i/></p>\n"
                                     "</smil>\n");
}

/* What XML 1.0 (fifth edition) clauses 2.2, 2.11 and 3.3.3 say of characters, line ends and attribute values. */
static void characters(void **state)
{
    static const struct {
        const char *in, *text, *attribute;
    } rows[] = {
        {"a", "a", "a"},
        {"\t\n", "\t\n", "&#9;&#10;"},
        {"\r", "&#13;", "&#13;"},
        {"\x01", "\xEF\xBF\xBD", "\xEF\xBF\xBD"},
        {"\x7F", "\x7F", "\x7F"},
        {"\xC3\xA9", "\xC3\xA9", "\xC3\xA9"},
        {"\xE9t", "\xEF\xBF\xBDt", "\xEF\xBF\xBDt"},                    /* Latin-1 */
        {"\xC3", "\xEF\xBF\xBD", "\xEF\xBF\xBD"},                       /* cut off */
        {"\xED\xA0\x80", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD", NULL}, /* surrogate */
        {"\xEF\xBF\xBF", "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD", NULL}, /* U+FFFF */
        {"\xF0\x9F\x9A\xB2", "\xF0\x9F\x9A\xB2", "\xF0\x9F\x9A\xB2"},   /* a bicycle */
        {"\"'", "\"'", "&quot;'"},
        {"", "", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].in);
        tw_buf text = {.arena = tw_test_arena(state)}, expected = {.arena = tw_test_arena(state)};
        tw_xml x = {.out = &text};
        tw_xml_leaf(&x, "t", tw_str_z(rows[i].in));
        tw_buf_addf(&expected, "<t>%s</t>\n%c", rows[i].text, '\0');
        tw_assert_text(tw_buf_str(&text), expected.at);
        if (rows[i].attribute == NULL)
            continue;
        text.len = expected.len = 0;
        tw_xml_open(&x, "t");
        tw_xml_attrz(&x, "a", rows[i].in);
        tw_xml_close(&x);
        tw_buf_addf(&expected, "<t a=\"%s\"/>\n%c", rows[i].attribute, '\0');
        tw_assert_text(tw_buf_str(&text), expected.at);
    }
}

static void numbers(void **state)
{
    static const struct {
        double value;
        int places;
        const char *text;
    } rows[] = {
        {1665, 3, "1665"}, {0.5, 3, "0.5"}, {1822.5, 0, "1823"},
        {-0.0001, 3, "0"}, {100, 0, "100"}, {1.0 / 3, 2, "0.33"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_buf text = {.arena = tw_test_arena(state)};
        tw_xml_add_num(&text, rows[i].value, rows[i].places);
        tw_assert_text(tw_buf_str(&text), rows[i].text);
    }
}

TW_SUITE(xml_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(one_element_a_line), TW_TEST(characters), TW_TEST(numbers)};
    return tw_run("xmlio/xml_write", tests);
}
