// Tables of check values: CSV with '#' comment lines, a header, and quotes around cells that hold a comma.
#pragma once

#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

struct csv_row {
  int line = 0;
  std::vector<std::string> cells;
};

struct csv_table {
  std::vector<std::string> header;
  std::vector<csv_row> rows;
  std::string comments;
};

inline std::vector<std::string> csv_cells(std::string_view line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      cells.emplace_back();
    } else if (c != '\r') {
      cells.back() += c;
    }
  }
  if (quoted) throw std::runtime_error("unclosed quote");
  return cells;
}

inline csv_table csv_from(std::istream& in) {
  csv_table table;
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (line.empty()) continue;
    if (line.front() == '#') {
      table.comments += line + '\n';
    } else if (table.header.empty()) {
      table.header = csv_cells(line);
    } else {
      table.rows.push_back({number, csv_cells(line)});
      if (table.rows.back().cells.size() != table.header.size())
        throw std::runtime_error("line " + std::to_string(number) + ": wrong number of cells");
    }
  }
  return table;
}

inline csv_table csv_file(const std::string& path) {
  std::ifstream in(path);
  if (!in) throw std::runtime_error("cannot read " + path);
  return csv_from(in);
}
