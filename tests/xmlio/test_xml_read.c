/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/xmlio.h>

static void places_and_texts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_xml_doc doc;
    assert_int_equal(tw_xml_read(arena,
                                 TW_STR("<?xml version=\"1.0\"?>\n"
                                        "<!DOCTYPE smil PUBLIC \"-//W3C//DTD SMIL 3.0 Language//EN\" \"x.dtd\">\n"
                                        "<smil xmlns=\"http://www.w3.org/ns/SMIL\"\n"
                                        "      version='3.0'>\n"
                                        " <meta xml:id=\"a\">one &amp; <![CDATA[<two>]]></meta><body/>\n"
                                        "</smil>\n"),
                                 TW_STR("t.smil"), diags, &doc),
                     TW_OK);
    assert_string_equal(tw_findings(arena, diags), "");
    const tw_xml_node *meta = doc.root->child, *body = meta->next;
    tw_assert_text(doc.root->space, "http://www.w3.org/ns/SMIL");
    tw_assert_text(tw_xml_get(doc.root, "version"), "3.0");
    tw_assert_text(tw_xml_get(meta, "xml:id"), "a");
    tw_assert_text(meta->text, "one & <two>");
    assert_null(tw_xml_get(meta, "id").at);
    const tw_place a = tw_xml_place(&doc, doc.root), b = tw_xml_place(&doc, body);
    assert_int_equal(a.line, 3);
    assert_int_equal(a.column, 1);
    assert_int_equal(b.line, 5);
    assert_int_equal(b.column, 53);
    tw_assert_text(b.text, " <meta xml:id=\"a\">one &amp; <![CDATA[<two>]]></meta><body/>");
}

/* The five entities XML has and character references, in attributes as in text; what only looks like one stays. */
static void references(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_xml_doc doc;
    assert_int_equal(tw_xml_read(arena,
                                 TW_STR("<a b='lacing &amp; truing &lt;1&gt; &quot;&apos;' c='&#38;&#x26;&#233;' "
                                        "d='&amp;#38;amp;'>&amp;&lt;&gt;&quot;&apos;&#38;&amp;#38;</a>"),
                                 TW_STR("t"), diags, &doc),
                     TW_OK);
    tw_assert_text(tw_xml_get(doc.root, "b"), "lacing & truing <1> \"'");
    tw_assert_text(tw_xml_get(doc.root, "c"), "&&\xC3\xA9");
    tw_assert_text(tw_xml_get(doc.root, "d"), "&#38;amp;");
    tw_assert_text(doc.root->text, "&<>\"'&&#38;");
}

/* U+00E4, one byte there and two here; and places are where they were. */
static void latin(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_xml_doc doc;
    assert_int_equal(tw_xml_read(arena,
                                 TW_STR("<?xml version='1.0' encoding='iso-8859-1'?>\n<a b='R\xE4"
                                        "der'>\n <c/></a>"),
                                 TW_STR("t"), diags, &doc),
                     TW_OK);
    tw_assert_text(tw_xml_get(doc.root, "b"), "R\xC3\xA4"
                                              "der");
    assert_int_equal(tw_xml_place(&doc, doc.root->child).line, 3);
    assert_int_equal(tw_xml_place(&doc, doc.root->child).column, 2);
    /* 15 of that standard has other characters: the euro for U+00A4 */
    assert_int_equal(tw_xml_read(arena, TW_STR("<?xml version=\"1.0\" encoding=\"ISO-8859-15\"?><a b='\xA4'/>"),
                                 TW_STR("t"), diags, &doc),
                     TW_ERR_SYNTAX);
}

static void refused_with_a_place(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *said;
        tw_status status;
    } rows[] = {
        {"", "t: error TW2001: the file is empty\n", TW_ERR_SYNTAX},
        {"plain", "t:1:1: error TW2001: this is not well-formed XML: Start tag expected, '<' not found\n  plain\n  ^\n",
         TW_ERR_SYNTAX},
        {"<a>\n<b></a>",
         "t:2:8: error TW2001: this is not well-formed XML: Opening and ending tag mismatch: b line 2 and a\n"
         "  <b></a>\n         ^\n",
         TW_ERR_SYNTAX},
        {"<a b='1' b='2'/>",
         "t:1:15: error TW2001: this is not well-formed XML: Attribute b redefined\n  <a b='1' b='2'/>\n               "
         " ^\n",
         TW_ERR_SYNTAX},
        {"<a>\xff</a>",
         "t:1:4: error TW2001: this is not UTF-8 text (byte 4): save the file as UTF-8\n  <a>?</a>\n     ^\n",
         TW_ERR_SYNTAX},
        {"<?xml version='1.0' encoding='KOI8-R'?>\n<a>\xff</a>",
         "t:2:4: error TW2001: this is not UTF-8 text (byte 44): save the file as UTF-8\n  <a>?</a>\n     ^\n",
         TW_ERR_SYNTAX},
        /* A billion laughs begins with one laugh. */
        {"<!DOCTYPE a [<!ENTITY l \"ha\"><!ENTITY m \"&l;&l;\">]><a>&m;</a>",
         "t:1: error TW2002: the document type carries declarations of its own, which this tool does not read\n",
         TW_ERR_SYNTAX},
        {"<!DOCTYPE a [<!ATTLIST a b CDATA 'x'>]><a/>",
         "t:1: error TW2002: the document type carries declarations of its own, which this tool does not read\n",
         TW_ERR_SYNTAX},
        {"<!DOCTYPE a SYSTEM \"x\" [<!ENTITY % p SYSTEM \"file:///etc/passwd\"> %p;]><a/>",
         "t:1: error TW2002: the document type carries declarations of its own, which this tool does not read\n",
         TW_ERR_SYNTAX},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_diags *diags = tw_diags_new(arena);
        tw_xml_doc doc;
        tw_row(i, rows[i].text);
        assert_int_equal(tw_xml_read(arena, tw_str_z(rows[i].text), TW_STR("t"), diags, &doc), rows[i].status);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), rows[i].said);
    }
}

static void nesting_is_bounded(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t depth = TW_XML_READ_DEPTH; depth <= TW_XML_READ_DEPTH + 1; depth++) {
        tw_buf text = {.arena = arena};
        for (size_t i = 0; i < depth; i++)
            tw_buf_addz(&text, "<a>");
        for (size_t i = 0; i < depth; i++)
            tw_buf_addz(&text, "</a>");
        tw_xml_doc doc;
        tw_status status = tw_xml_read(arena, tw_buf_str(&text), TW_STR("t"), tw_diags_new(arena), &doc);
        assert_int_equal(status, depth <= TW_XML_READ_DEPTH ? TW_OK : TW_ERR_LIMIT);
    }
}

TW_SUITE(xml_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(places_and_texts), TW_TEST(references), TW_TEST(latin),
                                       TW_TEST(refused_with_a_place), TW_TEST(nesting_is_bounded)};
    return tw_run("xmlio/xml_read", tests);
}
