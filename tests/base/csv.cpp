// Rows of delimited text: how columns are found, what quotes mean, what is a comment.
#include "base/csv.hpp"

#include <doctest/doctest.h>

#include <optional>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "refusal.hpp"

using namespace coldgrease;
using detail::csv_rows;
using detail::other_columns;
using detail::wanted_column;

namespace {

constexpr std::string_view expected = "point, length [m], bore [mm] or tube";

struct columns {
  std::optional<std::size_t> point, length, bore, tube;
};

columns find(csv_rows& rows, other_columns others) {
  columns c;
  rows.find({{.names = {"point"}, .found = &c.point, .needed = true},
             {.names = {"length", "run"}, .found = &c.length, .needed = true, .with_unit = true},
             {.names = {"bore"}, .found = &c.bore, .needed = true, .with_unit = true},
             {.names = {"tube"}, .found = &c.tube, .instead_of = "bore"}},
            others, expected);
  return c;
}
columns find(std::string_view header, other_columns others) {
  csv_rows rows(header, "l.csv");
  return find(rows, others);
}
std::string refused(std::string_view header, other_columns others = other_columns::refused) {
  return refusal([&] { find(header, others); });
}

/// The cells of one row of three columns.
std::vector<std::string> cells_of(std::string_view row) {
  const std::string text = "one,two,three\n" + std::string(row) + "\n";
  csv_rows rows(text, "l.csv");
  std::vector<std::string_view> fields;
  if (!rows.next(fields)) return {};
  return {fields.begin(), fields.end()};
}
std::string refused_row(std::string_view row) {
  return refusal([&] { cells_of(row); });
}

/// The first cells of all rows, each with a bar behind it.
std::string names_of(std::string_view text) {
  csv_rows rows(text, "l.csv");
  find(rows, other_columns::refused);
  std::vector<std::string_view> fields;
  std::string names;
  while (rows.next(fields)) names += std::string(fields[0]) + "|";
  return names;
}

/// All rows as a spreadsheet would show them, with bars between cells, and what was left out, a line each.
std::string rows_of(std::string_view text) {
  std::string out;
  out += refusal([&] {
    csv_rows rows(text, "l.csv");
    find(rows, other_columns::refused);
    std::vector<std::string_view> fields;
    while (rows.next(fields)) {
      for (const std::string_view field : fields) out += std::string(field) + "|";
      out += "\n";
    }
    for (const std::string& remark : detail::lines_of(rows.remarks())) out += remark + "\n";
  });
  return out;
}
std::string in_utf16(std::string_view ascii, bool big_end_first) {
  std::string out = big_end_first ? "\xfe\xff" : "\xff\xfe";
  for (const char c : ascii) out += big_end_first ? std::string{'\0', c} : std::string{c, '\0'};
  return out;
}

}  // namespace

TEST_CASE("case: columns are found in any order, in any of their spellings") {
  const columns c = find("Bore [mm]; RUN [ m ] ;point", other_columns::refused);
  CHECK(c.bore == 0);
  CHECK(c.length == 1);
  CHECK(c.point == 2);
  CHECK_FALSE(c.tube);
  CHECK(find("point,length [m],tube", other_columns::refused).tube == 2);
  CHECK(find("note,point,length [m],bore [mm]", other_columns::ignored).point == 1);
}

TEST_CASE("case: a list of columns is made at run time") {
  csv_rows rows("b [m],a\n", "l.csv");
  const std::vector<std::string> names{"a", "b"};
  std::vector<std::optional<std::size_t>> found(names.size());
  std::vector<wanted_column> wanted;
  for (std::size_t i = 0; i < names.size(); ++i)
    wanted.push_back({.names = {names[i]}, .found = &found[i], .needed = true, .with_unit = names[i] == "b"});
  rows.find(wanted, other_columns::refused, "a, b [m]");
  CHECK(found[0] == 1);
  CHECK(found[1] == 0);
  CHECK(rows.unit_of(*found[1]) == "m");
}

TEST_CASE("case: columns that cannot be used are refused with what is expected") {
  const std::string end = "; expected " + std::string(expected);
  CHECK(refused("point,length [m],bore [mm],colour") == "l.csv:1: unknown column \"colour\"" + end);
  CHECK(refused("point [m],length [m],bore [mm]") == "l.csv:1: unknown column \"point [m]\"" + end);
  CHECK(refused("point,length [m],run [m],bore [mm]") == "l.csv:1: the column \"run\" stands twice" + end);
  CHECK(refused("point,length [m],run [m],bore [mm]", other_columns::ignored) ==
        "l.csv:1: two columns could be \"run [m]\"; expected one of them");
  CHECK(refused("length [m],bore [mm]") == "l.csv:1: no column point" + end);
  CHECK(refused("point,length [m]") == "l.csv:1: no column bore or tube" + end);
  CHECK(refused("point,length,bore [mm]") == "l.csv:1: the column \"length\" has no unit" + end);
  CHECK(refused("# made by hand\n\npoint,length,bore [mm]") == "l.csv:3: the column \"length\" has no unit" + end);
}

TEST_CASE("case: several columns stand instead of one only where all of them are there") {
  const auto refused_date = [](std::string_view header) {
    return refusal([&] {
      csv_rows rows(header, "w.csv");
      std::optional<std::size_t> date, year, month;
      rows.find({{.names = {"date"}, .found = &date, .needed = true},
                 {.names = {"year"}, .found = &year, .instead_of = "date"},
                 {.names = {"month"}, .found = &month, .instead_of = "date"}},
                other_columns::ignored, "date, or year, month");
    });
  };
  CHECK(refused_date("date,tmin").empty());
  CHECK(refused_date("year,month").empty());
  CHECK(refused_date("date,year").empty());
  CHECK(refused_date("year,tmin") == "w.csv:1: no column date; expected date, or year, month");
}

// RFC 4180, section 2 (https://www.rfc-editor.org/rfc/rfc4180): rule 5, fields may or may not be in quotes; rule 6, a
// field with a comma or a quote is; rule 7, a quote within such a field is doubled. A field over several lines, which
// rule 6 allows, is refused: no cell that is read here has two lines.
TEST_CASE("published value: quotes of RFC 4180, section 2, rules 5 to 7") {
  using cells = std::vector<std::string>;
  CHECK(cells_of("\"aaa\",\"bbb\",\"ccc\"") == cells{"aaa", "bbb", "ccc"});
  CHECK(cells_of("zzz,yyy,xxx") == cells{"zzz", "yyy", "xxx"});
  CHECK(cells_of("\"aaa\",\"b,bb\",\"ccc\"") == cells{"aaa", "b,bb", "ccc"});
  CHECK(cells_of(R"("aaa","b""bb","ccc")") == cells{"aaa", "b\"bb", "ccc"});
  CHECK(cells_of(R"("""","","""a"" ""b""")") == cells{"\"", "", "\"a\" \"b\""});
  CHECK(refused_row("\"aaa\",\"b\nbb\",\"ccc\"") == "l.csv:2: a quote is not closed; expected both quotes on one line");
  CHECK(refused_row(R"("aaa","bbb","ccc"")") == "l.csv:2: a quote is not closed; expected both quotes on one line");
}

TEST_CASE("case: names that differ behind a quote stay apart") {
  csv_rows rows("point,length\n\"5\"\" hose left\",3.2\n\"5\"\" hose right\",3.8\n", "l.csv");
  std::vector<std::string_view> fields;
  REQUIRE(rows.next(fields));
  CHECK(fields[0] == "5\" hose left");
  REQUIRE(rows.next(fields));
  CHECK(fields[0] == "5\" hose right");
  CHECK(fields[1] == "3.8");
}

TEST_CASE("case: text behind a closing quote is refused, blanks are not") {
  using cells = std::vector<std::string>;
  CHECK(cells_of(" \"a\" , \"b\"\t,\"c\"  ") == cells{"a", "b", "c"});
  CHECK(cells_of("\t\"a,b\",\t \"c\",\td\t") == cells{"a,b", "c", "d"});
  CHECK(refused_row(R"("5" hose,1,2)") ==
        "l.csv:2: text follows the closing quote of \"5\"; expected the end of the field there, or two quotes for one "
        "within it");
  CHECK(refused_row(R"(1,2,"a"b)").starts_with("l.csv:2: text follows the closing quote of \"a\""));
  CHECK(refused_row(R"(1,"a" "b",2)").starts_with("l.csv:2: text follows the closing quote of \"a\""));
  // Of a table with tabs a tab is no blank.
  csv_rows rows("a\tb\tc\n\"1\"\t\"2\" \t3\n", "l.csv");
  std::vector<std::string_view> fields;
  REQUIRE(rows.next(fields));
  CHECK(fields == std::vector<std::string_view>{"1", "2", "3"});
}

TEST_CASE("law: what is written in quotes is read back, whatever the cells hold") {
  constexpr std::string_view letters = "ab\",;# ";
  std::mt19937 random(4180);
  std::uniform_int_distribution<std::size_t> letter(0, letters.size() - 1), size(0, 6);
  std::string text = "\"1\",\"2\",\"3\"\n";
  std::vector<std::string> written;
  for (int row = 0; row < 500; ++row) {
    for (int column = 0; column < 3; ++column) {
      std::string cell = "|";  // no blank stands at an end of it: those are trimmed
      for (std::size_t n = size(random); n > 0; --n) cell += letters[letter(random)];
      cell += '|';
      std::string quoted;
      for (const char c : cell) quoted += c == '"' ? "\"\"" : std::string(1, c);
      text += (column == 0 ? "\"" : ",\"") + quoted + "\"";
      written.push_back(cell);
    }
    text += "\r\n";
  }
  csv_rows rows(text, "l.csv");
  std::vector<std::string_view> fields;
  std::vector<std::string> read;
  while (rows.next(fields)) read.insert(read.end(), fields.begin(), fields.end());
  CHECK(read == written);
}

TEST_CASE("case: a row that begins with # is no comment") {
  CHECK(names_of("point,length [m],bore [mm],tube\n#7 left,3,4,\n8 left,3,4,\n") == "#7 left|8 left|");
  CHECK(names_of("# above, the, header, all, is\n#comment\npoint,length [m],bore [mm],tube\n8 left,3,4,\n") ==
        "8 left|");
  // Bore, or tube instead of it: one cell of the three that every row has.
  CHECK(names_of("point,length [m],tube,bore [mm]\n# two cells, here\n#\n8 left,3,,4\n") == "8 left|");
  CHECK(names_of("point,length [m],tube\n#,3,x\n# two cells, here\n") == "#|");
  const std::string longer =
      " fields; expected 4, as the header; decimal points, no decimal commas between commas; fewer "
      "than 3 cells in a comment";
  CHECK(refusal([] { names_of("point,length [m],bore [mm],tube\n8,3,4,\n# a, b, c\n"); }) == "l.csv:3: has 3" + longer);
  CHECK(refusal([] { names_of("point,length [m],bore [mm],tube\n#7 left,3,4,,\n"); }) == "l.csv:2: has 5" + longer);
  // What a comment says need not be closed.
  CHECK(names_of("point,length [m],bore [mm],tube\n# 5\" hose, \"long\n8 left,3,4,\n") == "8 left|");
}

TEST_CASE("case: without a list of columns a comment has fewer cells than the header") {
  csv_rows rows("a,b,c\n#1,2,3\n# 1, 2\n4,5,6\n", "l.csv");
  std::vector<std::string_view> fields;
  REQUIRE(rows.next(fields));
  CHECK(fields[0] == "#1");
  REQUIRE(rows.next(fields));
  CHECK(fields[0] == "4");
  CHECK_FALSE(rows.next(fields));
}

TEST_CASE("case: a unit stands in parentheses as well") {
  CHECK(rows_of("point,length (m),bore ( mm )\n8 left,3,4\n") == "8 left|3|4|\n");
  CHECK(refused("point (left),length [m],bore [mm]").starts_with("l.csv:1: unknown column \"point (left)\""));
}

TEST_CASE("case: titles above the columns are left out, and said") {
  CHECK(rows_of("Winter,,\nFleet of the north,by hand,\n\npoint,length [m],bore [mm]\n8 left,3,4\n") ==
        "8 left|3|4|\nl.csv:1: titles down to line 3 are left out\n");
  CHECK(rows_of("Winter\npoint;length [m];bore [mm]\n8 left;3;4\n") ==
        "8 left|3|4|\nl.csv:1: a title above the columns is left out\n");
  // A header that lacks a column is refused as it stands, not looked for further down.
  CHECK(rows_of("point,length [m]\n8 left,3\n").starts_with("l.csv:1: no column bore or tube"));
  CHECK(rows_of("Winter,\"open\npoint,length [m],bore [mm]\n") ==
        "l.csv:1: a quote is not closed; expected both quotes on one line");
}

TEST_CASE("case: rows of totals at the end and rows without any needed cell are left out, and said") {
  CHECK(rows_of("point,length [m],bore [mm]\n8 left,3,4\n,,\nTotal:,3,\n,,\n\n") ==
        "8 left|3|4|\nl.csv:4: \"Total:\", the last row, is left out\n");
  CHECK(rows_of("point,length [m],bore [mm],tube\n,,,see below\n8 left,3,4,\nAVERAGE,3,4,\n") ==
        "8 left|3|4||\nl.csv:2: a row without any of the cells it needs is left out\n"
        "l.csv:4: \"AVERAGE\", the last row, is left out\n");
  // Where rows follow it is a row like any other, as is a name that begins so.
  CHECK(rows_of("point,length [m],bore [mm]\nsum,3,4\n8 left,3,4\n") == "sum|3|4|\n8 left|3|4|\n");
  CHECK(rows_of("point,length [m],bore [mm]\nsummer,3,4\n") == "summer|3|4|\n");
  CHECK(rows_of("point,length [m],bore [mm]\n,3,\n") == "|3||\n");  // has one: its reader refuses the others
}

TEST_CASE("law: of rows left out as many are told as a person reads, and that there are more") {
  std::string text = "point,length [m],bore [mm],tube\n";
  for (int i = 0; i < 1000; ++i) text += ",,,x\n";
  csv_rows rows(text, "l.csv");
  find(rows, other_columns::refused);
  std::vector<std::string_view> fields;
  CHECK_FALSE(rows.next(fields));
  REQUIRE(rows.remarks().size() == 21);
  CHECK(std::string(rows.remarks().back().problem()) == "and rows below are left out as well");
}

TEST_CASE("case: a comma is a decimal mark where the file leaves no other reading") {
  CHECK(rows_of("point;length [m];bore [mm]\n8,5 left;3,2;4\n9;-0,125;+4,0\n10;1,234;5\n") ==
        "8,5 left|3.2|4|\n9|-0.125|+4.0|\n10|1.234|5|\n");
  CHECK(rows_of("point,length [m],bore [mm]\n9,\"3,2\",4\n") == "9|3.2|4|\n");
  CHECK(rows_of("point\tlength [m]\tbore [mm]\n9\t,5\t4\n") == "9|.5|4|\n");
  // What is no number stays as it is, for its reader to refuse.
  CHECK(rows_of("point;length [m];bore [mm]\n9;1,2,3;4 mm, or 5\n") == "9|1,2,3|4 mm, or 5|\n");
}

TEST_CASE("case: a comma that may part thousands is refused with both readings") {
  CHECK(rows_of("point;length [m];bore [mm]\n9;1,234;4\n") ==
        "l.csv:2: length [m]: \"1,234\" may be 1.234 or 1234; expected numbers without commas between thousands");
  CHECK(rows_of("point;length [m];bore [mm]\n9;3.5;4\n9;1,234;4\n") ==
        "9|3.5|4|\nl.csv:3: length [m]: \"1,234\" may be 1.234 or 1234; expected numbers without commas between "
        "thousands");
  CHECK(rows_of("point;length [m];bore [mm]\n9;3.5;4\n9;3,5;4\n") ==
        "9|3.5|4|\nl.csv:3: length [m]: \"3,5\" has a decimal comma, other numbers of the file a point; expected one "
        "decimal mark in a file");
}

TEST_CASE("case: UTF-16 and Latin-1 are read, and said") {
  constexpr std::string_view text = "point,length [m],bore [mm]\r\n8 left,3,4\r\n";
  for (const bool big : {false, true})
    CHECK(rows_of(in_utf16(text, big)) == "8 left|3|4|\nl.csv: is in UTF-16, and is taken so\n");
  CHECK(rows_of("point,length [m],bore [mm]\nr\xfc"
                "ckw\xe4rts,3,4\n") == "r\u00fcckw\u00e4rts|3|4|\nl.csv: is in Latin-1, and is taken so\n");
  CHECK(rows_of("\xef\xbb\xbfpoint,length [m],bore [mm]\nr\u00fcck,3,4\n") == "r\u00fcck|3|4|\n");
  CHECK(refusal([] {
          csv_rows(
              "\xff\xfe"
              "a",
              "l.csv");
        }) == "l.csv: is damaged UTF-16; expected plain text, in UTF-8 at best");
  CHECK(refusal([] {
          csv_rows(std::string_view("\xff\xfe\x00\xd8"
                                    "a\0",
                                    6),
                   "l.csv");
        }) == "l.csv: is damaged UTF-16; expected plain text, in UTF-8 at best");  // half of a pair
}
