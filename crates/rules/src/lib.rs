//! Rule classes and inspection.
