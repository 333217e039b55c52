#include "workbook.hpp"

#include <stdlib.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "coldgrease/base/error.hpp"

namespace coldgrease::tools {

namespace {

/// A file of its own in the folder for temporary ones, as the library writes no workbook into memory; gone at the end.
class scratch_file {
 public:
  scratch_file() {
    std::error_code none;
    const auto folder = std::filesystem::temp_directory_path(none);
    if (none) throw file_error("TMPDIR", none.message(), "a folder for temporary files");
    path_ = (folder / "coldgrease-XXXXXX").string();  // mkstemp puts letters for the last six
    const int opened = ::mkstemp(path_.data());
    if (opened < 0) throw file_error(path_, std::strerror(errno), "a folder for temporary files that can be written");
    ::close(opened);
  }
  scratch_file(const scratch_file&) = delete;
  scratch_file& operator=(const scratch_file&) = delete;
  ~scratch_file() { ::unlink(path_.c_str()); }

  const std::string& path() const { return path_; }
  std::string bytes() const {
    std::ifstream in(path_, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }

 private:
  std::string path_;
};

lxw_row_t row_number(std::size_t i) { return static_cast<lxw_row_t>(i); }
lxw_col_t column_number(std::size_t i) { return static_cast<lxw_col_t>(i); }

struct formats {
  lxw_format *head, *day, *whole, *decimal, *text, *sum;
};

formats formats_of(lxw_workbook* book) {
  formats f{};
  for (lxw_format** each : {&f.head, &f.day, &f.whole, &f.decimal, &f.text, &f.sum}) *each = workbook_add_format(book);
  format_set_bold(f.head);
  format_set_text_wrap(f.head);
  format_set_align(f.head, LXW_ALIGN_VERTICAL_TOP);
  format_set_num_format(f.day, "yyyy-mm-dd");
  format_set_num_format(f.whole, "0");
  format_set_num_format(f.decimal, "0.00");
  format_set_text_wrap(f.text);
  format_set_bold(f.sum);
  format_set_top(f.sum, LXW_BORDER_THIN);
  format_set_num_format(f.sum, "0.00");
  for (lxw_format* each : {f.day, f.whole, f.decimal, f.text}) format_set_align(each, LXW_ALIGN_VERTICAL_TOP);
  return f;
}

const double* number_in(const sheet& s, std::size_t row, std::size_t column) {
  return std::get_if<double>(&s.rows[row][column]);
}

/// Writes the rows of one column below its head.
void write_column(lxw_worksheet* page, const sheet& s, std::size_t column, const formats& f) {
  bool whole = true;
  std::size_t widest = s.columns[column].head().size() / 2 + 2;  // a head may take two lines
  for (std::size_t row = 0; row < s.rows.size(); ++row) {
    if (const double* v = number_in(s, row, column)) whole = whole && *v == std::nearbyint(*v);
  }
  for (std::size_t row = 0; row < s.rows.size(); ++row) {
    const lxw_row_t r = row_number(row + 1);
    const lxw_col_t c = column_number(column);
    const sheet_cell& cell = s.rows[row][column];
    if (const auto* text = std::get_if<std::string>(&cell)) {
      constexpr std::size_t most = 32'767;  // characters of a cell
      worksheet_write_string(page, r, c, text->substr(0, most).c_str(), f.text);
      widest = std::max(widest, text->size() + 1);
    } else if (const auto* d = std::get_if<date>(&cell)) {
      lxw_datetime day{d->year, d->month, d->day, 0, 0, 0.0};
      worksheet_write_datetime(page, r, c, &day, f.day);
      widest = std::max<std::size_t>(widest, 11);
    } else if (const double* v = number_in(s, row, column)) {
      worksheet_write_number(page, r, c, *v, whole ? f.whole : f.decimal);
      widest = std::max<std::size_t>(widest, 9);
    }
  }
  constexpr std::size_t most_width = 60;
  worksheet_set_column(page, column_number(column), column_number(column),
                       static_cast<double>(std::min(widest, most_width)), nullptr);
}

/// The sum of a column below its rows; where one of them is not known, none is.
void write_sum(lxw_worksheet* page, const sheet& s, std::size_t column, const formats& f) {
  double sum = 0.0;
  for (std::size_t row = 0; row < s.rows.size(); ++row) {
    const double* v = number_in(s, row, column);
    if (!v) {
      worksheet_write_string(page, row_number(s.rows.size() + 1), column_number(column), "not known", f.sum);
      return;
    }
    sum += *v;
  }
  char first[LXW_MAX_CELL_NAME_LENGTH], last[LXW_MAX_CELL_NAME_LENGTH];
  lxw_rowcol_to_cell(first, 1, column_number(column));
  lxw_rowcol_to_cell(last, row_number(s.rows.size()), column_number(column));
  const std::string formula = std::string("=SUM(") + first + ":" + last + ")";
  worksheet_write_formula_num(page, row_number(s.rows.size() + 1), column_number(column), formula.c_str(), f.sum, sum);
}

void write_sheet(lxw_workbook* book, const sheet& s, const formats& f) {
  lxw_worksheet* page = workbook_add_worksheet(book, s.name.c_str());
  for (std::size_t c = 0; c < s.columns.size(); ++c) {
    worksheet_write_string(page, 0, column_number(c), s.columns[c].head().c_str(), f.head);
    write_column(page, s, c, f);
    if (s.columns[c].summed && !s.rows.empty()) write_sum(page, s, c, f);
  }
  const bool sums = std::ranges::any_of(s.columns, &sheet_column::summed);
  if (sums && !s.rows.empty()) worksheet_write_string(page, row_number(s.rows.size() + 1), 0, "Total", f.sum);
  worksheet_freeze_panes(page, 1, 1);
  if (!s.rows.empty() && !s.columns.empty())
    worksheet_autofilter(page, 0, 0, row_number(s.rows.size()), column_number(s.columns.size() - 1));
  worksheet_set_landscape(page);
  worksheet_fit_to_pages(page, 1, 0);
  worksheet_repeat_rows(page, 0, 0);
}

}  // namespace

std::string workbook_of(std::span<const sheet> sheets, const date& made_on) {
  const scratch_file file;
  lxw_workbook* book = workbook_new(file.path().c_str());
  std::tm day{};
  day.tm_year = made_on.year - 1900;
  day.tm_mon = made_on.month - 1;
  day.tm_mday = made_on.day;
  lxw_doc_properties properties{};
  properties.created = ::timegm(&day);
  workbook_set_properties(book, &properties);
  const formats f = formats_of(book);
  for (const sheet& s : sheets) write_sheet(book, s, f);
  // It frees the book, whatever it returns.
  if (const lxw_error error = workbook_close(book); error != LXW_NO_ERROR)
    throw file_error(file.path(), "a workbook cannot be written there", "a folder for temporary files with room");
  return file.bytes();
}

}  // namespace coldgrease::tools
