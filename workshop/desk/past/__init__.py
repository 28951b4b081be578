"""Bring the past: stock and sales from before this book, out of CSV and XLSX files."""
